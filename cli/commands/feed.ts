/** `feed mix`: how much stock or water brings the reservoir to the strength a stage asks for. */
import type { Command } from 'commander';
import { ecAt25C, type FeedStep, feedStep } from '../../shared/physics/feed';
import { PROFILE_LIMITS } from '../../shared/profile/limits';
import { formatQuantity } from '../../shared/units';
import { needed, quantity, type Reader } from '../arguments/options';
import type { Act, Context } from '../context';
import { refused, usage } from '../failure';
import { wrap } from '../terminal/output';

const EXAMPLE =
  'For example: trayward feed mix --volume 4l --has 0.3mS/cm --to 0.8mS/cm --stock 1:100 --gain 2mS/cm';
const CAUTION =
  'Concentrated nutrients and acids burn: gloves and goggles. Never pour undiluted A and B together; acid goes into water, never the other way round.';

/** The `100` of a dilution such as 1:100. */
const dilution: Reader<number> = (typed) => {
  const ratio = Number(/^1:(\d+(?:\.\d+)?)$/.exec(String(typed))?.[1]);
  if (ratio > 0) return ratio;
  throw usage(`--stock "${typed}" is no dilution.`, EXAMPLE);
};

/** Stronger than any water or mixed feed: half of sea water. It was meant as uS/cm, or ppm. */
const READ_MAX_MS_CM = 25;

/** An EC that can be, up to `maxMsCm`. */
const ecUpTo =
  (maxMsCm: number, what: string): Reader<number | null> =>
  (typed, flag) => {
    const value = quantity('ec', EXAMPLE)(typed, flag);
    if (value === null || value <= maxMsCm) return value;
    throw usage(
      `${flag} ${typed} is more than ${what}: ${maxMsCm} mS/cm at most.`,
      'Check the unit: meters show mS/cm, uS/cm (a thousandth of it) or one of the ppm scales.',
    );
  };

const EC = ecUpTo(READ_MAX_MS_CM, 'any feed has');
const OPTIONS = {
  volume: needed(quantity('volume', EXAMPLE), EXAMPLE),
  has: needed(EC, EXAMPLE),
  to: needed(ecUpTo(PROFILE_LIMITS.feedEcMax, 'any crop here is given'), EXAMPLE),
  stock: dilution,
  /** Needed where stock is: to thin a feed it is not. */
  gain: EC,
  water: needed(EC, EXAMPLE),
  reservoir: quantity('volume', EXAMPLE),
  at: quantity('temperature', EXAMPLE),
};

/** What the reservoir has now, mS/cm at 25 C; `atC` is where a meter without compensation read it. */
function presentMsCm(read: number, atC: number | null): number {
  const present = atC === null ? read : ecAt25C(read, atC);
  if (!Number.isNaN(present)) return present;
  throw usage(
    'A reading is brought to 25 C from 0 to 35 C only.',
    'Let the feed come to the room.',
  );
}

/** A step that leaves the reservoir within its brim. `pourOutMl`: to be poured away first. */
type FittingStep =
  | Exclude<FeedStep, { readonly add: 'water' }>
  | (Extract<FeedStep, { readonly add: 'water' }> & { readonly pourOutMl: number });

/** The same strength in a reservoir that holds `roomMl`, or null where nobody has said. */
function fitted(step: FeedStep, volumeMl: number, roomMl: number | null): FittingStep {
  if (roomMl !== null && volumeMl > roomMl) {
    throw usage(
      'There is more in the reservoir than it holds.',
      'Compare --volume and --reservoir.',
    );
  }
  if (step.add !== 'water') return step;
  const fullMl = volumeMl + step.waterMl;
  if (roomMl === null || fullMl <= roomMl) return { ...step, pourOutMl: 0 };
  const keptMl = (volumeMl * roomMl) / fullMl;
  return { add: 'water', waterMl: roomMl - keptMl, pourOutMl: volumeMl - keptMl };
}

function stepText(step: FittingStep, volumeMl: number, { units }: Context): string {
  const ml = (value: number): string => formatQuantity('volume', value, units);
  switch (step.add) {
    case 'nothing':
      return 'It has that strength already: add nothing.';
    case 'stock':
      return `Add ${ml(step.eachMl)} of the stock to ${ml(volumeMl)}: of A, stirred in, then of B, where it has two parts.`;
    case 'water':
      return step.pourOutMl > 0
        ? `There is no room for all the water that takes: pour ${ml(step.pourOutMl)} out, then fill up with ${ml(step.waterMl)} of water, to ${ml(volumeMl - step.pourOutMl + step.waterMl)}.`
        : `Add ${ml(step.waterMl)} of water; that makes ${ml(volumeMl + step.waterMl)}.`;
  }
}

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  noun
    .command('mix')
    .description('how much stock, or water, brings the reservoir to the strength wanted')
    .option('--volume <volume>', 'what is in the reservoir')
    .option('--has <ec>', 'its EC now; for a fresh mix that of the water')
    .option('--to <ec>', 'the EC wanted: `profile read` shows it for each stage')
    .option('--stock <1:n>', 'dilution on the label of the stock', '1:100')
    .option('--gain <ec>', 'what the stock adds at that dilution, as its label says')
    .option('--water <ec>', 'EC of the water to thin with', '0 mS/cm')
    .option('--reservoir <volume>', 'what the reservoir holds, so that it does not run over')
    .option('--at <temperature>', 'where --has was read, by a meter that does not compensate')
    .action(
      act(OPTIONS, async (context, options) => {
        const volumeMl = options.volume;
        const hasMsCm = presentMsCm(options.has, options.at);
        const { stock: ratio, gain: gainMsCm } = options;
        if (gainMsCm === null && hasMsCm < options.to) {
          throw usage('--gain is missing: this takes stock, and its label says its EC.', EXAMPLE);
        }
        const stock = gainMsCm === null ? null : { ratio, gainMsCm };
        const step = feedStep(volumeMl, hasMsCm, options.to, options.water, stock);
        if (!step.ok) throw refused('cannot-mix', step.why, 'Nothing was worked out.');
        const fitting = fitted(step.value, volumeMl, options.reservoir);
        if (fitting.add === 'stock') context.caution(CAUTION);
        const text = `${stepText(fitting, volumeMl, context)} Measure when it is mixed: the rule is good to 5 %.`;
        return { result: fitting, text: wrap(text, context.style.width) };
      }),
    );
}
