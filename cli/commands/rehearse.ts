/** `rehearse`: the real firmware with a simulated tray, before the seed is sown. */
import type { Command } from 'commander';
import { CROP_NAMES } from '../../firmware/bench/plant/crops';
import { HABIT_NAMES, HABITS } from '../../firmware/bench/season/habits';
import { fluxFor } from '../../firmware/bench/season/tray-truth';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { DAY_S } from '../../shared/units/time';
import {
  given,
  needed,
  number,
  type OptionsOf,
  oneOf,
  quantity,
  type Reader,
  typedText,
  whole,
} from '../arguments/options';
import { ROOM_HELP, roomAir } from '../arguments/room';
import type { Act, Context } from '../context';
import { CommandError, refused, usage } from '../failure';
import { ASK_AGAIN, keptTray } from '../model/kept-tray';
import { compile } from '../profile/compile';
import { ImpossibleRehearsal, rehearseAll } from '../rehearse/crew';
import { boardSaid, USUAL_ROOM } from '../rehearse/once';
import type { Asked } from '../rehearse/page';
import { rehearsalText } from '../rehearse/screen';
import { type Summary, summaryOf } from '../rehearse/summary';
import type { Rehearsed } from '../rehearse/tasks';
import { wrap } from '../terminal/output';
import { refuseHomeless, refusePicture, refuseTaken, write } from './report-files';

const LIMITS = {
  daysLeast: 1,
  daysMost: 75,
  seedsMost: 1_000,
} as const;

const days: Reader<number | null> = (typed, flag, units) => {
  const seconds = quantity('duration', 'Give days, such as 30 d.')(typed, flag, units);
  if (seconds === null) return null;
  const value = seconds / DAY_S;
  if (value >= LIMITS.daysLeast && value <= LIMITS.daysMost) return value;
  throw usage(
    `--days ${typed} is outside ${LIMITS.daysLeast} to ${LIMITS.daysMost} days.`,
    'Give days, such as 30 d.',
  );
};

const OPTIONS = {
  room: needed(roomAir),
  days,
  seeds: needed(whole(1, LIMITS.seedsMost)),
  grower: needed(oneOf(HABIT_NAMES)),
  crop: oneOf(CROP_NAMES),
  tariff: number(0, 100),
  out: typedText,
  force: given,
  like: typedText,
  store: typedText,
};
type Options = OptionsOf<typeof OPTIONS>;

/** Of what the bench can grow; refuses a crop it knows nothing of. */
function cropFor(asked: string | null, crop: string): string {
  const known = asked ?? CROP_NAMES.find((name) => name === crop.trim().toLowerCase());
  if (known !== undefined) return known;
  throw refused(
    'no-such-crop',
    `Nothing is known here of how ${crop} comes up and grows.`,
    `Rehearse it with the crop most like it: --crop ${CROP_NAMES.join('|')}.`,
  );
}

/** Flux of the mat under the tray of a controller, by its journal; refused where that does not tell it. */
async function matLike(context: Context, controller: string, store: string | null) {
  const { kept, model } = await keptTray(context, { store, controller });
  if (!model.mat.ok) throw refused('cannot-tell', model.mat.why, ASK_AGAIN);
  return { boardId: kept.boardId, fluxWM2: fluxFor(model.mat.value.now.watts) };
}

/** What can be told to be wrong before minutes are spent on rehearsals. */
function refuseWrong({ out, force }: Options): void {
  if (out === null) {
    if (force)
      throw usage('--force writes over the file of --out.', 'Name one: --out pepper.html.');
    return;
  }
  refusePicture(out, 'Name a page, rehearsal.html.');
  refuseTaken('--out', out, force);
  refuseHomeless('--out', out);
}

async function rehearse(context: Context, options: Options, file: string | undefined) {
  refuseWrong(options);
  const { profile, image } = compile(file);
  const crop = cropFor(options.crop, profile.crop);
  const { like: controller, store, out } = options;
  const like = controller === null ? null : await matLike(context, controller, store);
  const all = await rehearsals(context, options, { image, crop, like });
  const summary = summaryOf(all);
  const { style, units } = context;
  const asked = askedText(summary, options, like, units);
  const pricePerKwh = options.tariff;
  const page =
    out === null
      ? null
      : await pageText({ all, summary, profile, units }, { asked, pricePerKwh, crop });
  if (out !== null && page !== null) write(out, page, options.force);
  const text = rehearsalText({ all, summary, profile, units }, asked, style, pricePerKwh);
  return {
    result: {
      ...{ crop, room: options.room, grower: options.grower, like: like?.boardId ?? null },
      ...{ out, bytes: page === null ? null : Buffer.byteLength(page), ...summary },
    },
    text: `${text}\n\n${wrap(nextText(out), style.width)}`,
  };
}

type Like = Awaited<ReturnType<typeof matLike>>;

function asRefused(error: unknown, units: UnitSystem): unknown {
  if (!(error instanceof ImpossibleRehearsal)) return error;
  return refused(
    'not-rehearsed',
    `This tray cannot be rehearsed: ${boardSaid(error.refusal, units)}`,
    'Rehearse it with the pieces that its scale bears: the shares of water stay the same.',
  );
}

/** Runs them, and shows how many are done. */
async function rehearsals(
  context: Context,
  { room: { nightC, dayC }, seeds, grower, days: wanted }: Options,
  { image, crop, like }: { image: Uint8Array; crop: string; like: Like | null },
) {
  const tasks = Array.from({ length: seeds }, (_, i) => ({
    image,
    crop,
    roomC: (nightC + dayC) / 2,
    swingK: (dayC - nightC) / 2,
    ...(like === null ? {} : { matFluxWM2: like.fluxWM2 }),
    habits: grower,
    days: wanted ?? LIMITS.daysMost,
    seed: 1 + i,
  }));
  // Nothing runs at a tray meanwhile: what Ctrl-C says of pumps is not for here.
  void context.untilInterrupt();
  const progress = await context.progress('Rehearsing', tasks.length);
  const { script, interrupt } = context.world;
  try {
    return await rehearseAll(tasks, script, interrupt, (count) => progress.update(count));
  } catch (error) {
    throw interrupt.aborted ? stopped() : asRefused(error, context.units);
  } finally {
    progress.stop();
  }
}

const stopped = (): CommandError =>
  new CommandError(
    'interrupted',
    'interrupted',
    'Stopped by Ctrl-C before all was rehearsed.',
    'No tray was touched, and nothing is written. With fewer --seeds or --days it is done sooner.',
  );

/** What was rehearsed, in a sentence. */
function askedText(
  { days: { middle }, rehearsals: count }: Summary,
  { room, grower }: Options,
  like: Like | null,
  units: UnitSystem,
): string {
  const temperature = (c: number): string => formatQuantity('temperature', c, units);
  const times = count === 1 ? 'once' : `${count} times`;
  const mat = like === null ? '' : `, the mat of ${like.boardId}`;
  return `${middle.toFixed(0)} days, rehearsed ${times} with the real firmware on a simulated tray: a room of ${temperature(room.nightC)} to ${temperature(room.dayC)}, a grower who comes ${HABITS[grower].name}${mat}.`;
}

/** Loaded only now: the page brings its own program with it. */
async function pageText(rehearsed: Rehearsed, asked: Asked): Promise<string> {
  const [{ rehearsalPageOf }, { default: script }] = await Promise.all([
    import('../rehearse/page'),
    import('trayward:page-script'),
  ]);
  return rehearsalPageOf(rehearsed, asked, script);
}

const nextText = (out: string | null): string =>
  out === null
    ? 'Why each is done, every dose, and how far they spread day by day is on a page: --out rehearsal.html.'
    : `${out} is written: open it with any browser; it needs no network.`;

/** Gives its noun what it does: it has no verbs. */
export function register(noun: Command, act: Act): void {
  noun
    .argument('<profile>', 'profile file')
    .option('--room <temperature>', ROOM_HELP, USUAL_ROOM)
    .option('--days <duration>', 'how long (default: until nine days after the transplant)')
    .option('--seeds <number>', 'how often, each with other weather, parts and seedlings', '6')
    .option('--grower <habit>', `who looks after it: ${HABIT_NAMES.join(', ')}`, 'daily')
    .option(
      '--crop <name>',
      `what is sown (default: the crop of the profile): ${CROP_NAMES.join(', ')}`,
    )
    .option('--tariff <price>', 'price of a kWh, in your own money')
    .option(
      '--out <file>',
      'page with fan charts to write, which shows how far the rehearsals spread',
    )
    .option('--force', 'write over a file that is there already')
    .option('--like <controller>', 'with the mat of this controller, as its journal tells it')
    .option('--store <folder>', 'where journals are kept')
    .action(act(OPTIONS, (context, options, [file]) => rehearse(context, options, file)));
}
