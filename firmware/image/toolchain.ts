/** The two C compilers the image needs: one for the chip, one for the machine that builds. */
import { existsSync } from 'node:fs';
import { run } from './run';
import { CHIP } from './sources';

export const CHIP_CC = 'arm-none-eabi-gcc';
export const CHIP_NM = 'arm-none-eabi-nm';
export const CHIP_OBJCOPY = 'arm-none-eabi-objcopy';
export const CHIP_SIZE = 'arm-none-eabi-size';
export const HOST_CC = 'cc';

interface Tool {
  /** In words, for people. */
  readonly what: string;
  readonly cc: string;
  readonly flags: readonly string[];
  readonly debianPackages: readonly string[];
}

const TOOLS: readonly Tool[] = [
  {
    what: `${CHIP_CC} with newlib`,
    cc: CHIP_CC,
    flags: CHIP.core,
    debianPackages: ['gcc-arm-none-eabi', 'libnewlib-arm-none-eabi'],
  },
  {
    what: `a C compiler named ${HOST_CC}`,
    cc: HOST_CC,
    flags: [],
    debianPackages: ['gcc', 'libc6-dev'],
  },
];
const PROBE = '#include <math.h>\nint main(void) { return (int)sin(0); }\n';

async function compiles(cc: string, args: readonly string[]): Promise<boolean> {
  try {
    await run('sh', [
      '-c',
      `printf '%s' "$1" | ${cc} ${args.join(' ')} -x c - -c -o /dev/null`,
      'sh',
      PROBE,
    ]);
    return true;
  } catch {
    return false;
  }
}

async function lacking(): Promise<Tool[]> {
  const works = await Promise.all(TOOLS.map(({ cc, flags }) => compiles(cc, flags)));
  return TOOLS.filter((_, index) => works[index] !== true);
}

/** What is missing to build the image, in words; empty when nothing is. */
export async function missingTools(): Promise<string[]> {
  return (await lacking()).map(({ what }) => what);
}

async function asRoot(command: readonly string[]): Promise<void> {
  const root = process.getuid?.() === 0;
  const [program = '', ...args] = root ? command : ['sudo', '-n', ...command];
  await run(program, args);
}

/**
 * Makes sure both compilers are there; on Debian and its kin installs them, which needs root or sudo
 * without a password. Throws one clear line otherwise.
 */
export async function ensureToolchain(say: (line: string) => void): Promise<void> {
  const missing = await lacking();
  if (missing.length === 0) {
    return;
  }
  const packages = missing.flatMap(({ debianPackages }) => debianPackages);
  const what = missing.map((tool) => tool.what).join(' and ');
  const advice = `The image cannot be built here without ${what}. Install ${packages.join(' and ')} (or your system's packages of that kind) and run this again.`;
  if (!existsSync('/usr/bin/apt-get')) {
    throw new Error(advice);
  }
  say(`Installing ${packages.join(', ')} ...`);
  try {
    await asRoot(['apt-get', 'update', '-qq']);
    await asRoot(['apt-get', 'install', '-y', '-qq', '--no-install-recommends', ...packages]);
  } catch {
    throw new Error(advice);
  }
  if ((await lacking()).length > 0) {
    throw new Error(advice);
  }
}
