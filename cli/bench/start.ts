/** Starts a bench and stays with it. */
import { CROP_NAMES } from '../../firmware/bench/plant/crops';
import type { RunningBench } from '../../firmware/bench/server/announce';
import { FASTEST_TIMES } from '../../firmware/bench/server/door';
import type { BenchServer, ServeOptions } from '../../firmware/bench/server/serve';
import type { QuantityKind } from '../../shared/units';
import type { Answer, Context, Flags, Source } from '../context';
import { CommandError, usage } from '../failure';
import { wrap } from '../output';
import { plainNumber, quantityOf } from '../quantity';
import { readImage } from './image';

/** Benches outside these would be broken or absurd rather than instructive. */
const PLAUSIBLE = {
  room: { min: -10, max: 45, said: 'a room has -10 to 45 C' },
  swing: { min: 0, max: 20, said: 'a room swings by 0 to 20 K' },
  cell: { min: 500, max: 100_000, said: 'a load cell is rated for 500 g to 100 kg' },
  pumpFlow: { min: 0.05, max: 20, said: 'a dosing pump gives 0.05 to 20 ml in a second' },
} as const;

const HIGHEST_PORT = 65_535;
const SEED_MAX = 2 ** 31 - 1;

function number(flags: Flags, name: string, min: number, max: number): number {
  const text = flags.text(name) ?? '';
  const value = plainNumber(text);
  if (value >= min && value <= max) return value;
  throw usage(`--${name} ${text} is no number from ${min} to ${max}.`, 'Give such a number.');
}

function optionsFrom(flags: Flags, context: Context): ServeOptions {
  const crop = CROP_NAMES.find((name) => name === flags.text('crop'));
  const amount = (kind: QuantityKind, name: keyof typeof PLAUSIBLE): number => {
    const text = flags.text(name) ?? '';
    const value = quantityOf(kind, text, 'See `trayward bench start --help`.');
    const { min, max, said } = PLAUSIBLE[name];
    if (value >= min && value <= max) return value;
    throw usage(`${text} is not plausible for a bench: ${said}.`, 'Give another value.');
  };
  return {
    linkPort: flags.whole('listen', 0, HIGHEST_PORT) ?? 0,
    doorPort: flags.whole('door', 0, HIGHEST_PORT) ?? 0,
    ptyPath: flags.text('pty'),
    speed: number(flags, 'speed', 0, FASTEST_TIMES),
    seed: flags.whole('seed', 0, SEED_MAX) ?? 1,
    crop: crop ?? 'pepper',
    startUnixMs: Math.floor(context.world.now() / 1000) * 1000,
    room: {
      meanC: amount('temperature', 'room'),
      swingK: amount('temperature-difference', 'swing'),
      warmestHour: number(flags, 'warmest', 0, 24),
    },
    cell: { capacityG: amount('mass', 'cell') },
    ...(flags.text('pumpFlow') === null ? {} : { pump: { mlPerS: amount('volume', 'pumpFlow') } }),
    ...secondDoor(flags),
  };
}

/** With an image the second door has a place of its own, so that each can be tried. */
function secondDoor(flags: Flags): Pick<ServeOptions, 'image' | 'uartPort' | 'uartPtyPath'> {
  const path = flags.text('image');
  const uartPort = flags.whole('listenUart', 0, HIGHEST_PORT);
  const uartPtyPath = flags.text('ptyUart');
  return {
    ...(path === null ? {} : { image: readImage(path) }),
    ...(uartPort === null && path === null ? {} : { uartPort: uartPort ?? 0 }),
    ...(uartPtyPath === null ? {} : { uartPtyPath }),
  };
}

/** The reason a bench did not start, in a grower's words. */
function whyNot(error: unknown, options: ServeOptions): unknown {
  if (!(error instanceof Error)) return error;
  const next = 'Give another port with --listen, or 0 for any free one; or stop the other bench.';
  if ('code' in error && (error.code === 'EADDRINUSE' || error.code === 'EACCES')) {
    const port =
      options.doorPort === 0 ? options.linkPort : `${options.linkPort} or ${options.doorPort}`;
    const why = error.code === 'EACCES' ? 'may not be used' : 'is in use';
    return new CommandError('refused', 'port-in-use', `Port ${port} ${why}.`, next);
  }
  if (error.name === 'PtyError') {
    return new CommandError(
      'refused',
      'no-pty',
      error.message,
      'The bench also works without --pty and --pty-uart.',
    );
  }
  return error;
}

async function serve(options: ServeOptions): Promise<BenchServer> {
  const { serveBench } = await import('../../firmware/bench/server/serve');
  try {
    return await serveBench(options);
  } catch (error) {
    throw whyNot(error, options);
  }
}

function announceText(at: RunningBench, options: ServeOptions, width: number): string {
  const pace =
    options.speed === 0
      ? 'Time stands still until `bench run`.'
      : `Speed: ${options.speed} times real time.`;
  const what =
    options.image === undefined
      ? 'the real firmware, a tray'
      : 'the flash image in an emulated board, a tray';
  const is = `A simulated tray is running: ${what}, a mat, a pump and a scale that exist only in this program. ${pace} Ctrl-C ends it.`;
  const doors = [
    `  trayward --port ${at.link} status`,
    ...(at.uart === null ? [] : [`  trayward --port ${at.uart} status    (UART0)`]),
    ...(at.pty === null || at.pty === at.link ? [] : [`  trayward --port ${at.pty} status`]),
  ].join('\n');
  return `${wrap(is, width)}

Talk to its controller from another terminal:
${doors}
Let time pass, and be the grower:
  trayward bench run 2 h
  trayward bench hand soak
  trayward bench fault mains-cut --for "2 h"
`;
}

/** Resolves at SIGTERM, or when standard input ends if that is wanted. */
function toldToStop(stdin: Source, untilStdinCloses: boolean): Promise<void> {
  return new Promise((resolve) => {
    process.once('SIGTERM', () => resolve());
    if (!untilStdinCloses) return;
    stdin.once('end', () => resolve());
    stdin.once('close', () => resolve());
    stdin.resume();
  });
}

/**
 * Runs a bench until Ctrl-C, SIGTERM or `bench stop`. With `--json` the first line says where it is,
 * and the last that it has stopped.
 */
export async function startBench(context: Context, flags: Flags): Promise<Answer> {
  const options = optionsFrom(flags, context);
  const server = await serve(options);
  context.atEnd(() => server.stop());
  const { at, bench } = server;
  const started = { ...at, seed: options.seed, boardId: bench.boardId };
  context.world.stdout.write(
    context.json
      ? `${JSON.stringify({ ok: true, result: { event: 'started', ...started } })}\n`
      : announceText(at, options, context.style.width),
  );
  await Promise.race([
    context.untilInterrupt(),
    server.stopped,
    toldToStop(context.world.stdin, flags.on('untilStdinCloses')),
  ]);
  await server.stop();
  return {
    result: { event: 'stopped', timeS: bench.nowMs / 1000 },
    text: 'The bench has stopped.',
  };
}
