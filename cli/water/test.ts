/** `water test`: whether a water is fit for seedlings, by what a grower can measure. */
import type { Command } from 'commander';
import {
  type Fitness,
  fitnessOf,
  type WaterFinding,
  waterFindings,
} from '../../shared/physics/water-fitness';
import { formatQuantity } from '../../shared/units';
import { chalk, ph } from '../arguments/water';
import type { Act, Context } from '../context';
import { usage } from '../failure';
import { readEc } from '../feed/strength';
import { type Fact, facts, wrap } from '../terminal/output';

const EXAMPLE =
  "For example: trayward water test --ec 0.4mS/cm --ph 7.6 --alkalinity '150mg/l CaCO3' --hardness '180mg/l CaCO3'";
/** Rain, taps and wells, and what a purifier gives (common practice). */
const PH = { low: 4, high: 10 };

const OPTIONS = {
  ec: readEc(EXAMPLE),
  ph: ph(
    PH,
    'No water that is drunk, or falls as rain, has another: check the meter in its buffers.',
    EXAMPLE,
  ),
  alkalinity: chalk('alkalinity', EXAMPLE),
  hardness: chalk('hardness', EXAMPLE),
};

const FITNESS_WORDS: Readonly<Record<Fitness, string>> = {
  good: 'Fit for seedlings in plugs.',
  'with-care': 'Fit for seedlings in plugs, with care.',
  unfit: 'Not fit for seedlings in plugs as it is.',
};
const TONES: Readonly<Record<Fitness, Pick<Fact, 'tone'>>> = {
  good: {},
  'with-care': { tone: 'warn' },
  unfit: { tone: 'bad' },
};

const LABELS: Readonly<Record<WaterFinding['reading'], string>> = {
  ec: 'EC',
  ph: 'pH',
  alkalinity: 'Alkalinity',
  hardness: 'Hardness',
  together: 'Together',
};

export function addTest(noun: Command, act: Act): void {
  noun
    .command('test')
    .description('whether a water is fit for seedlings, by its EC, pH, alkalinity and hardness')
    .option('--ec <ec>', 'of the water, as it comes')
    .option('--ph <ph>', 'of the water')
    .option('--alkalinity <alkalinity>', "'150mg/l CaCO3', 3meq/l or 8.4dKH")
    .option('--hardness <hardness>', "'180mg/l CaCO3', 3.6meq/l or 10dGH")
    .action(
      act(OPTIONS, async (context, typed) => {
        const { ec, alkalinity, hardness } = typed;
        const findings = waterFindings({
          ecMsCm: ec,
          ph: typed.ph,
          alkalinityMeqL: alkalinity,
          hardnessMeqL: hardness,
        });
        if (findings.length === 0)
          throw usage(
            'There is nothing to judge: give --ec, --ph, --alkalinity or --hardness, or some of them.',
            EXAMPLE,
          );
        const fitness = fitnessOf(findings);
        return {
          result: { fitness, findings },
          text: testText(context, fitness, findings, typed),
        };
      }),
    );
}

interface Typed {
  readonly ec: number | null;
  readonly ph: number | null;
  readonly alkalinity: number | null;
  readonly hardness: number | null;
}

function testText(
  { units, style }: Context,
  fitness: Fitness,
  findings: readonly WaterFinding[],
  { ec, ph: acidity, alkalinity, hardness }: Typed,
): string {
  const values: Readonly<Record<WaterFinding['reading'], string>> = {
    ec: ec === null ? '' : formatQuantity('ec', ec, units),
    ph: String(acidity),
    alkalinity: alkalinity === null ? '' : formatQuantity('alkalinity', alkalinity, units),
    hardness: hardness === null ? '' : formatQuantity('hardness', hardness, units),
    together: '',
  };
  const rows = findings.map(
    ({ reading, fitness: one, says, source }): Fact => ({
      label: LABELS[reading],
      value: `${values[reading]}${values[reading] === '' ? '' : ': '}${says}`,
      note: `[${source}]`,
      ...TONES[one],
    }),
  );
  const rest =
    'That is what a grower can measure. A laboratory tells sodium, chloride, boron and iron besides: have it done once, and again when the source changes.';
  const unknown = [...(ec === null ? ['EC'] : []), ...(alkalinity === null ? ['alkalinity'] : [])];
  // pH and hardness alone say little of what salts and chalk do to a plug.
  const verdict =
    unknown.length === 0 || fitness === 'unfit'
      ? FITNESS_WORDS[fitness]
      : `${fitness === 'good' ? 'Nothing against it' : 'With care'} as far as was measured: ${unknown.join(' and ')} ${unknown.length === 1 ? 'is' : 'are'} not known.`;
  return `${style.strong(verdict)}\n${facts(rows, style)}\n${wrap(rest, style.width)}`;
}
