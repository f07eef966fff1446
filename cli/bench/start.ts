/** Starts a bench and stays with it. */
import { randomInt } from 'node:crypto';
import { existsSync, readdirSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import { CROP_NAMES } from '../../firmware/bench/plant/crops';
import { FASTEST_TIMES } from '../../firmware/bench/server/door';
import type { BenchServer, ServeOptions } from '../../firmware/bench/server/serve';
import { trayOf } from '../../firmware/bench/tray-of';
import { ofProbes } from '../../shared/board/probes';
import { benchName, type RunningBench, runningBenches } from '../../shared/host/benches';
import { curveFromB, type SteinhartHart } from '../../shared/physics/ntc';
import type { QuantityKind } from '../../shared/units';
import {
  given,
  needed,
  number,
  type OptionsOf,
  oneOf,
  type Reader,
  typedText,
  whole,
} from '../arguments/options';
import { plainNumber, quantityOf } from '../arguments/quantity';
import type { Answer, Context } from '../context';
import { CommandError, usage } from '../failure';
import { compile } from '../profile/compile';
import { wrap } from '../terminal/output';
import { readImage } from './image';

/** Benches outside these would be broken or absurd rather than instructive. */
const PLAUSIBLE = {
  room: { min: -10, max: 45, said: 'a room has -10 to 45 C' },
  swing: { min: 0, max: 20, said: 'a room swings by 0 to 20 K' },
  cell: { min: 500, max: 100_000, said: 'a load cell is rated for 500 g to 100 kg' },
  b: { min: 1_000, max: 8_000, said: 'its B is 1000 to 8000 K' },
  pumpFlow: { min: 0.05, max: 20, said: 'a dosing pump gives 0.05 to 20 ml in a second' },
} as const;

const HIGHEST_PORT = 65_535;
const SEED_MAX = 2 ** 31 - 1;
const USUAL_SEED = 1;
/** Of a board of its own: above all seeds, which number the boards of theirs. */
const OWN_NUMBERS = { from: 2 ** 31, below: 2 ** 32 } as const;

/** A quantity that a bench may have. */
function plausible(kind: QuantityKind, name: keyof typeof PLAUSIBLE): Reader<number | null> {
  return (typed) => {
    if (typeof typed !== 'string') return null;
    const value = quantityOf(kind, typed, 'See `trayward bench start --help`.');
    const { min, max, said } = PLAUSIBLE[name];
    if (value >= min && value <= max) return value;
    throw usage(`${typed} is not plausible for a bench: ${said}.`, 'Give another value.');
  };
}

/** `10k/3435` as the NTC that both probes are: any, for the controller may be told a wrong one, or none. */
const benchNtc: Reader<SteinhartHart | null> = (typed) => {
  if (typeof typed !== 'string') return null;
  const next = 'Give its resistance at 25 C and its B, such as --ntc 10k/3435.';
  const [resistance = '', b, ...more] = typed.split('/');
  const ohm = quantityOf('resistance', resistance, next);
  if (b === undefined) throw usage(`--ntc ${typed} is a resistance without a B.`, next);
  const bK = plainNumber(b.trim());
  const { min, max, said } = PLAUSIBLE.b;
  if (more.length === 0 && ohm > 0 && bK >= min && bK <= max)
    return curveFromB({ b: bK, t1C: 25, t2C: 85 }, ohm);
  throw usage(`${typed} is no NTC: ${said}.`, next);
};

const PORT = whole(0, HIGHEST_PORT);

/** Options of `bench start`; where a default is declared it is always there. */
export const START_OPTIONS = {
  listen: needed(PORT),
  door: needed(PORT),
  pty: typedText,
  image: typedText,
  listenUart: PORT,
  ptyUart: typedText,
  drive: typedText,
  speed: needed(number(0, FASTEST_TIMES)),
  seed: whole(0, SEED_MAX),
  crop: oneOf(CROP_NAMES),
  profile: typedText,
  room: needed(plausible('temperature', 'room')),
  swing: needed(plausible('temperature-difference', 'swing')),
  warmest: needed(number(0, 24)),
  cell: needed(plausible('mass', 'cell')),
  pumpFlow: plausible('volume', 'pumpFlow'),
  ntc: benchNtc,
  untilStdinCloses: given,
};
type StartOptions = OptionsOf<typeof START_OPTIONS>;

/** What is sown where nothing else is asked for. */
const USUAL_CROP = 'pepper';

function serveOptions(options: StartOptions, context: Context): ServeOptions {
  const { listen, door, pty, speed, room, swing, warmest, cell, pumpFlow, ntc } = options;
  const profile = options.profile === null ? null : compile(options.profile).profile;
  const { pump, ...tray } = profile === null ? { pump: {} } : trayOf(profile);
  return {
    ...tray,
    linkPort: listen,
    doorPort: door,
    ptyPath: pty,
    speed,
    ...boardOf(options),
    crop: options.crop ?? CROP_NAMES.find((name) => name === profile?.crop) ?? USUAL_CROP,
    startUnixMs: Math.floor(context.world.now() / 1000) * 1000,
    room: { meanC: room, swingK: swing, warmestHour: warmest },
    cell: { capacityG: cell },
    pump: { ...pump, ...(pumpFlow === null ? {} : { mlPerS: pumpFlow }) },
    ...(ntc === null ? {} : { ntcs: ofProbes(() => ntc) }),
    ...secondDoor(options),
    ...(options.drive === null ? {} : { drivePath: emptyFolder(options.drive) }),
  };
}

/** The same seed is the same board; without one it is another each time, or one journal would hold what two trays did. */
function boardOf({ seed }: StartOptions): Pick<ServeOptions, 'seed' | 'boardNumber'> {
  if (seed !== null) return { seed };
  return { seed: USUAL_SEED, boardNumber: randomInt(OWN_NUMBERS.from, OWN_NUMBERS.below) };
}

/** Said where another running bench has the same board. */
function sameBoardText({ boardId, door }: RunningBench): string | null {
  const twin = runningBenches().find((one) => one.boardId === boardId && one.door !== door);
  if (twin === undefined) return null;
  return `The bench ${benchName(twin)} has the same seed, and so the same board, ${boardId}: what is kept of their trays gets mixed up. Give this one another --seed, or none.`;
}

/** Files come and go there: it must be nobody's. */
function emptyFolder(path: string): string {
  const isTaken =
    existsSync(path) && (!statSync(path).isDirectory() || readdirSync(path).length > 0);
  if (!isTaken) return resolve(path);
  throw usage(
    `--drive ${path} is there already, and not an empty folder.`,
    'Name one that is not there yet, or an empty one.',
  );
}

/** With an image the second door has a place of its own, so that each can be tried. */
function secondDoor({
  image,
  listenUart,
  ptyUart,
}: StartOptions): Pick<ServeOptions, 'image' | 'uartPort' | 'uartPtyPath'> {
  return {
    ...(image === null ? {} : { image: readImage(image) }),
    ...(listenUart === null && image === null ? {} : { uartPort: listenUart ?? 0 }),
    ...(ptyUart === null ? {} : { uartPtyPath: ptyUart }),
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
Where several benches run, say that this one is meant: --bench ${benchName(at)}
`;
}

/** Resolves at SIGTERM, or when standard input ends if that is wanted. */
function toldToStop({ world, atEnd }: Context, untilStdinCloses: boolean): Promise<void> {
  const { stdin } = world;
  return new Promise((resolve) => {
    const stop = (): void => resolve();
    process.once('SIGTERM', stop);
    atEnd(() => void process.off('SIGTERM', stop));
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
export async function startBench(context: Context, asked: StartOptions): Promise<Answer> {
  const options = serveOptions(asked, context);
  const server = await serve(options);
  context.atEnd(() => server.stop());
  const { at, bench } = server;
  const twin = sameBoardText(at);
  if (twin !== null) context.caution(twin);
  const started = { ...at, name: benchName(at), seed: options.seed };
  context.world.stdout.write(
    context.json
      ? `${JSON.stringify({ ok: true, result: { event: 'started', ...started } })}\n`
      : announceText(at, options, context.style.width),
  );
  void server.deviceLost.then(({ path, why }) =>
    context.caution(
      `The serial device ${path} is gone: ${why.message} The bench runs on; start it anew to have the device again.`,
    ),
  );
  await Promise.race([
    context.untilInterrupt(),
    server.stopped,
    toldToStop(context, asked.untilStdinCloses),
  ]);
  await server.stop();
  return {
    result: { event: 'stopped', timeS: bench.nowMs / 1000 },
    text: 'The bench has stopped.',
  };
}
