/** The two C compilers the image needs: one for the chip, one for the machine that builds. */
import { existsSync } from 'node:fs';
import { run } from './run';

export const CHIP_CC = 'arm-none-eabi-gcc';
export const CHIP_NM = 'arm-none-eabi-nm';
export const CHIP_OBJCOPY = 'arm-none-eabi-objcopy';
export const CHIP_SIZE = 'arm-none-eabi-size';
export const HOST_CC = 'cc';

const DEBIAN_PACKAGES = ['gcc-arm-none-eabi', 'libnewlib-arm-none-eabi', 'gcc', 'libc6-dev'];
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

/** What is missing to build the image, in words; empty when nothing is. */
export async function missingTools(): Promise<string[]> {
  const missing: string[] = [];
  if (!(await compiles(CHIP_CC, ['-mcpu=cortex-m0plus', '-mthumb']))) {
    missing.push(`${CHIP_CC} with newlib`);
  }
  if (!(await compiles(HOST_CC, []))) {
    missing.push(`a C compiler named ${HOST_CC}`);
  }
  return missing;
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
  const missing = await missingTools();
  if (missing.length === 0) {
    return;
  }
  const advice = `The image cannot be built here: ${missing.join(' and ')} is missing. Install ${DEBIAN_PACKAGES.slice(0, 2).join(' and ')} (or your system's packages of that kind) and run this again.`;
  if (!existsSync('/usr/bin/apt-get')) {
    throw new Error(advice);
  }
  say(`Installing ${DEBIAN_PACKAGES.join(', ')} ...`);
  try {
    await asRoot(['apt-get', 'update', '-qq']);
    await asRoot([
      'apt-get',
      'install',
      '-y',
      '-qq',
      '--no-install-recommends',
      ...DEBIAN_PACKAGES,
    ]);
  } catch {
    throw new Error(advice);
  }
  if ((await missingTools()).length > 0) {
    throw new Error(advice);
  }
}
