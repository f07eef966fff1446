/** `rehearse`: the real firmware with a simulated tray, before the seed is sown. */
import { type Command, Option } from 'commander';
import { CROP_NAMES } from '../../firmware/bench/plant/crops';
import { HABIT_NAMES, HABITS } from '../../firmware/bench/season/habits';
import { formatQuantity } from '../../shared/units';
import { needed, number, oneOf, quantity, type Reader, whole } from '../arguments/options';
import { quantityOf } from '../arguments/quantity';
import type { Act } from '../context';
import { refused, usage } from '../failure';
import { compile } from '../profile/compile';
import { rehearseAll } from '../rehearse/crew';
import { rehearsalText } from '../rehearse/screen';
import { summaryOf } from '../rehearse/summary';

const ROOM_NEXT = 'Give one temperature, or the coldest and the warmest hour: --room "16..22 C".';
const DAY_S = 86_400;
const LIMITS = {
  /** A room in which nobody raises plants. */
  roomLowC: -10,
  roomHighC: 45,
  daysLeast: 1,
  daysMost: 75,
  seedsMost: 1_000,
} as const;

interface Room {
  readonly lowC: number;
  readonly highC: number;
}

/** `18 C`, or `16..22 C`: the unit may stand once. */
const room: Reader<Room | null> = (typed) => {
  if (typeof typed !== 'string') return null;
  const [, low = typed, high = low] = /^(.+?)\s*\.\.\s*(.+)$/.exec(typed) ?? [];
  const [unit = ''] = /[A-Za-z °]+$/.exec(high) ?? [];
  const lowText = /[A-Za-z°]$/.test(low) ? low : `${low}${unit}`;
  const lowC = quantityOf('temperature', lowText, ROOM_NEXT);
  const highC = quantityOf('temperature', high, ROOM_NEXT);
  if (lowC > highC)
    throw usage(`${typed}: the coldest hour is warmer than the warmest.`, ROOM_NEXT);
  if (lowC < LIMITS.roomLowC || highC > LIMITS.roomHighC) {
    throw usage(
      `${typed} is no room for plants: ${LIMITS.roomLowC} to ${LIMITS.roomHighC} C.`,
      ROOM_NEXT,
    );
  }
  return { lowC, highC };
};

const days: Reader<number | null> = (typed, flag) => {
  const seconds = quantity('duration', 'Give days, such as 30 d.')(typed, flag);
  if (seconds === null) return null;
  const value = seconds / DAY_S;
  if (value >= LIMITS.daysLeast && value <= LIMITS.daysMost) return value;
  throw usage(
    `--days ${typed} is outside ${LIMITS.daysLeast} to ${LIMITS.daysMost} days.`,
    'Give days, such as 30 d.',
  );
};

const OPTIONS = {
  room: needed(room),
  days,
  seeds: needed(whole(1, LIMITS.seedsMost)),
  grower: needed(oneOf(HABIT_NAMES)),
  crop: oneOf(CROP_NAMES),
  tariff: number(0, 100),
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

/** Gives its noun what it does: it has no verbs. */
export function register(noun: Command, act: Act): void {
  noun
    .argument('<profile>', 'profile file')
    .option('--room <temperature>', 'mean, or coldest..warmest hour of its days', '16..20 C')
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
    .action(
      act(OPTIONS, async (context, options, [file]) => {
        const { profile, image } = compile(file);
        const crop = cropFor(options.crop, profile.crop);
        const { lowC, highC } = options.room;
        const tasks = Array.from({ length: options.seeds }, (_, i) => ({
          image,
          crop,
          roomC: (lowC + highC) / 2,
          swingK: (highC - lowC) / 2,
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
        const asked = `${summary.days.middle.toFixed(0)} days, rehearsed ${tasks.length === 1 ? 'once' : `${tasks.length} times`} with the real firmware on a simulated tray: a room of ${temperature(lowC)} to ${temperature(highC)}, a grower who comes ${HABITS[options.grower].name}.`;
        const { style, units } = context;
        return {
          result: { crop, room: options.room, grower: options.grower, ...summary },
          text: rehearsalText(summary, profile, asked, units, style, options.tariff),
        };
      }),
    );
}
