/** `feed mix|dilute`: how much stock or water brings the reservoir to the strength a stage asks for. */
import type { Command } from 'commander';
import { ecAt25C, F25_C } from '../../shared/physics/ec';
import { type FeedStep, feedStep, type Stock } from '../../shared/physics/feed';
import { inBothUnits } from '../../shared/units';
import { needed, oneOf, type Reader } from '../arguments/options';
import { waterVolume } from '../arguments/water';
import { within } from '../arguments/within';
import type { Act, Answer, Context } from '../context';
import { refused, usage } from '../failure';
import { wrap } from '../terminal/output';
import { aboutVolume } from '../words/about';
import { dilution, gainEc, readEc, targetEc } from './strength';

const MIX_EXAMPLE =
  'For example: trayward feed mix --volume 4l --has 0.3mS/cm --to 0.8mS/cm --stock 1:100 --gain 2mS/cm';
const DILUTE_EXAMPLE =
  'For example: trayward feed dilute --volume 4l --has 1.3mS/cm --to 0.8mS/cm --water 0.3mS/cm';
export const STOCK_CAUTION =
  'Concentrated nutrients and acids burn: gloves and goggles. Never pour undiluted A and B together; acid goes into water, never the other way round.';

/** Where feed may have been read. */
export const feedTemperature = (example: string): Reader<number | null> =>
  within(
    'temperature',
    F25_C.low,
    F25_C.high,
    `Between these a reading is brought to ${inBothUnits(25)} by ISO 7888. Let the feed come to the room.`,
    example,
  );

/** What both verbs ask of the reservoir. */
const reservoirOptions = (example: string) => ({
  volume: needed(waterVolume(example), example),
  has: needed(readEc(example), example),
  to: needed(targetEc(example), example),
  water: needed(readEc(example), example),
  reservoir: waterVolume(example),
  at: feedTemperature(example),
});

const DILUTE_OPTIONS = reservoirOptions(DILUTE_EXAMPLE);
const MIX_OPTIONS = {
  ...reservoirOptions(MIX_EXAMPLE),
  stock: needed(dilution(MIX_EXAMPLE), MIX_EXAMPLE),
  /** Needed where stock is: to thin a feed it is not. */
  gain: gainEc(MIX_EXAMPLE),
  parts: needed(oneOf(['1', '2'] as const), MIX_EXAMPLE),
};

interface Asked {
  readonly volume: number;
  readonly has: number;
  readonly to: number;
  readonly water: number;
  readonly reservoir: number | null;
  readonly at: number | null;
}

/** What the reservoir has now, mS/cm at 25 C; `atC` is where a meter without compensation read it. */
export function presentMsCm(read: number, atC: number | null): number {
  return atC === null ? read : ecAt25C(read, atC);
}

function stepText(step: FeedStep, asked: Asked, parts: 1 | 2, { units }: Context): string {
  if (step.add === 'nothing') return 'It has that strength already: add nothing.';
  // The rule is good to 5 %: so are its volumes.
  const ml = (value: number): string => aboutVolume(value, units);
  const pour = step.pourOutMl > 0 ? `There is no room: pour ${ml(step.pourOutMl)} out first. ` : '';
  const makes = `that makes ${ml(step.makesMl)}`;
  if (step.add === 'water') {
    return step.pourOutMl > 0
      ? `There is no room for all the water that takes: pour ${ml(step.pourOutMl)} out, then fill up with ${ml(step.waterMl)} of water, to ${ml(step.makesMl)}.`
      : `Add ${ml(step.waterMl)} of water; ${makes}.`;
  }
  const to = ml(asked.volume - step.pourOutMl);
  const each = ml(step.eachMl);
  return parts === 1
    ? `${pour}Add ${each} of the stock to ${to}; ${makes}.`
    : `${pour}Add ${each} of A to ${to}, stirred in, then ${each} of B; ${makes}.`;
}

/** The one calculation behind both verbs. */
function answerFor(context: Context, asked: Asked, stock: Stock | null): Answer {
  const { volume, reservoir: roomMl } = asked;
  if (roomMl !== null && volume > roomMl) {
    throw usage(
      'There is more in the reservoir than it holds.',
      'Compare --volume and --reservoir.',
    );
  }
  const ecMsCm = presentMsCm(asked.has, asked.at);
  if (stock === null && ecMsCm < asked.to) {
    throw usage(
      'That takes stock: what is there is weaker than what you want.',
      'Use `trayward feed mix`, with --gain from the label of the stock.',
    );
  }
  const step = feedStep({ volumeMl: volume, ecMsCm, roomMl }, asked.to, asked.water, stock);
  if (!step.ok) {
    throw refused(
      'cannot-mix',
      step.why,
      'Change --to, or tell of another water or stock, and ask again.',
    );
  }
  if (step.value.add === 'stock') context.caution(STOCK_CAUTION);
  const text = `${stepText(step.value, asked, stock?.parts ?? 2, context)} Measure when it is mixed: the rule is good to 5 %.`;
  return { result: step.value, text: wrap(text, context.style.width) };
}

/** The options both verbs share, as they are shown. */
const withReservoir = (verb: Command, has: string): Command =>
  verb
    .option('--volume <volume>', 'what is in the reservoir')
    .option('--has <ec>', has)
    .option('--to <ec>', 'the EC wanted: `profile read` shows it for each stage')
    .option('--water <ec>', 'EC of the water to thin with', '0 mS/cm')
    .option('--reservoir <volume>', 'what the reservoir holds, so that it does not run over')
    .option('--at <temperature>', 'where --has was read, by a meter that does not compensate');

export function addMix(noun: Command, act: Act): void {
  withReservoir(
    noun
      .command('mix')
      .description('how much stock, or water, brings the reservoir to the strength wanted'),
    'its EC now; for a fresh mix that of the water',
  )
    .option('--stock <1:n>', 'dilution on the label of the stock', '1:100')
    .option('--gain <ec>', 'what the stock adds at that dilution, as its label says')
    .option('--parts <1|2>', 'bottles of the stock: 2 for A and B', '2')
    .action(
      act(MIX_OPTIONS, async (context, options) => {
        const { stock: ratio, gain: gainMsCm, parts } = options;
        if (gainMsCm === null && presentMsCm(options.has, options.at) < options.to) {
          throw usage(
            '--gain is missing: this takes stock, and its label says its EC.',
            MIX_EXAMPLE,
          );
        }
        const stock: Stock | null =
          gainMsCm === null ? null : { ratio, gainMsCm, parts: parts === '1' ? 1 : 2 };
        return answerFor(context, options, stock);
      }),
    );
}

export function addDilute(noun: Command, act: Act): void {
  withReservoir(
    noun
      .command('dilute')
      .description('how much water thins a feed that is too strong; asks no stock'),
    'its EC now',
  ).action(act(DILUTE_OPTIONS, async (context, options) => answerFor(context, options, null)));
}
