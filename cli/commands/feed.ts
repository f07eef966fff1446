/** `feed mix`: how much stock or water brings the reservoir to the strength a stage asks for. */
import type { Command } from 'commander';
import { ecAt25C, type FeedStep, feedStep } from '../../shared/physics/feed';
import { formatQuantity } from '../../shared/units';
import { quantityFlag } from '../arguments/quantity';
import type { Act, Context, Flags } from '../context';
import { refused, usage } from '../failure';
import { wrap } from '../terminal/output';

const EXAMPLE =
  'For example: trayward feed mix --volume 4l --has 0.3mS/cm --to 0.8mS/cm --stock 1:100 --gain 2mS/cm';
const CAUTION =
  'Concentrated nutrients and acids burn: gloves and goggles. Never pour undiluted A and B together; acid goes into water, never the other way round.';

/** What must be told, and is asked for when it is not. */
function told(flags: Flags, name: 'volume' | 'has' | 'to' | 'gain'): number {
  const value = quantityFlag(flags, name, name === 'volume' ? 'volume' : 'ec', EXAMPLE);
  if (value !== null) return value;
  throw usage(`--${name} is missing.`, EXAMPLE);
}

/** The `100` of a dilution such as 1:100. */
function dilution(flags: Flags): number {
  const text = flags.text('stock') ?? '';
  const ratio = Number(/^1:(\d+(?:\.\d+)?)$/.exec(text)?.[1]);
  if (ratio > 0) return ratio;
  throw usage(`--stock "${text}" is no dilution.`, EXAMPLE);
}

/** What the reservoir has now, mS/cm at 25 C; `--at` is where a meter without compensation read it. */
function presentMsCm(flags: Flags): number {
  const read = told(flags, 'has');
  const atC = quantityFlag(flags, 'at', 'temperature', EXAMPLE);
  const present = atC === null ? read : ecAt25C(read, atC);
  if (!Number.isNaN(present)) return present;
  throw usage(
    'A reading is brought to 25 C from 0 to 35 C only.',
    'Let the feed come to the room.',
  );
}

function stepText(step: FeedStep, volumeMl: number, { units }: Context): string {
  const ml = (value: number): string => formatQuantity('volume', value, units);
  switch (step.add) {
    case 'nothing':
      return 'It has that strength already: add nothing.';
    case 'stock':
      return `Add ${ml(step.eachMl)} of the stock to ${ml(volumeMl)}: of A, stirred in, then of B, where it has two parts.`;
    case 'water':
      return `Add ${ml(step.waterMl)} of water; that makes ${ml(volumeMl + step.waterMl)}.`;
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
    .option('--at <temperature>', 'where --has was read, by a meter that does not compensate')
    .action(
      act(async (context, flags) => {
        const volumeMl = told(flags, 'volume');
        const toMsCm = told(flags, 'to');
        const waterMsCm = quantityFlag(flags, 'water', 'ec', EXAMPLE) ?? 0;
        const hasMsCm = presentMsCm(flags);
        const stock = { ratio: dilution(flags), gainMsCm: told(flags, 'gain') };
        const step = feedStep(volumeMl, hasMsCm, toMsCm, waterMsCm, stock);
        if (!step.ok) throw refused('cannot-mix', step.why, 'Nothing was worked out.');
        context.caution(CAUTION);
        const text = `${stepText(step.value, volumeMl, context)} Measure when it is mixed: the rule is good to 5 %.`;
        return { result: step.value, text: wrap(text, context.style.width) };
      }),
    );
}
