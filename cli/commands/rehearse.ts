/** `rehearse`: the real firmware with a simulated tray, before the seed is sown. */
import { type Command, Option } from 'commander';
import { CROP_NAMES } from '../../firmware/bench/plant/crops';
import { HABIT_NAMES, HABITS } from '../../firmware/bench/season/habits';
import { fluxFor } from '../../firmware/bench/season/tray-truth';
import { formatQuantity } from '../../shared/units';
import {
  needed,
  number,
  oneOf,
  quantity,
  type Reader,
  typedText,
  whole,
} from '../arguments/options';
import { ROOM_HELP, roomAir } from '../arguments/room';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import { ASK_AGAIN, keptTray } from '../model/kept-tray';
import { compile } from '../profile/compile';
import { rehearseAll } from '../rehearse/crew';
import { rehearsalText } from '../rehearse/screen';
import { summaryOf } from '../rehearse/summary';

const DAY_S = 86_400;
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
  like: typedText,
  store: typedText,
};

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

/** Gives its noun what it does: it has no verbs. */
export function register(noun: Command, act: Act): void {
  noun
    .argument('<profile>', 'profile file')
    .option('--room <temperature>', ROOM_HELP, '16..20 C')
    .option('--days <duration>', 'how long (default: until nine days after the transplant)')
    .option('--seeds <number>', 'how often, each with other weather, parts and seedlings', '6')
    .addOption(
      new Option('--grower <habit>', 'who looks after it').choices(HABIT_NAMES).default('daily'),
    )
    .addOption(
      new Option('--crop <name>', 'what is sown (default: the crop of the profile)').choices(
        CROP_NAMES,
      ),
    )
    .option('--tariff <price>', 'price of a kWh, in your own money')
    .option('--like <controller>', 'with the mat of this controller, as its journal tells it')
    .option('--store <folder>', 'where journals are kept')
    .action(
      act(OPTIONS, async (context, options, [file]) => {
        const { profile, image } = compile(file);
        const crop = cropFor(options.crop, profile.crop);
        const { nightC, dayC } = options.room;
        const { like: controller, store } = options;
        const like = controller === null ? null : await matLike(context, controller, store);
        const tasks = Array.from({ length: options.seeds }, (_, i) => ({
          image,
          crop,
          roomC: (nightC + dayC) / 2,
          swingK: (dayC - nightC) / 2,
          ...(like === null ? {} : { matFluxWM2: like.fluxWM2 }),
          habits: options.grower,
          days: options.days ?? LIMITS.daysMost,
          seed: 1 + i,
        }));
        const progress = await context.progress('Rehearsing', tasks.length);
        const { script, interrupt } = context.world;
        const all = await rehearseAll(tasks, script, interrupt, (count) => progress.update(count));
        progress.stop();
        const summary = summaryOf(all);
        const temperature = (c: number): string => formatQuantity('temperature', c, context.units);
        const asked = `${summary.days.middle.toFixed(0)} days, rehearsed ${tasks.length === 1 ? 'once' : `${tasks.length} times`} with the real firmware on a simulated tray: a room of ${temperature(nightC)} to ${temperature(dayC)}, a grower who comes ${HABITS[options.grower].name}${like === null ? '' : `, the mat of ${like.boardId}`}.`;
        const { style, units } = context;
        return {
          result: {
            ...{ crop, room: options.room, grower: options.grower },
            ...{ like: like?.boardId ?? null, ...summary },
          },
          text: rehearsalText(summary, profile, asked, units, style, options.tariff),
        };
      }),
    );
}
