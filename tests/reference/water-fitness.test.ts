/** Whether a water is fit for plugs, against published judgements that its limits were not taken from. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  FITNESS,
  fitnessOf,
  type WaterReadings,
  waterFindings,
} from '../../shared/physics/water-fitness';
import { parseQuantity } from '../../shared/units';
import { holds } from '../properties';

const NOTHING: WaterReadings = { ecMsCm: null, ph: null, alkalinityMeqL: null, hardnessMeqL: null };
const fitness = (readings: Partial<WaterReadings>) =>
  fitnessOf(waterFindings({ ...NOTHING, ...readings }));
const rank = (readings: Partial<WaterReadings>): number => FITNESS.indexOf(fitness(readings));

function chalk(kind: 'alkalinity' | 'hardness', text: string): number {
  const read = parseQuantity(kind, text);
  if (!read.ok) throw new Error(read.why);
  return read.value;
}

describe('the alkalinity of water for plugs and cuttings (T. Buechel, Tips for Better Young Plants, GrowerTalks 11/2021)', () => {
  // "Ideally 40 to 80 ppm CaCO3"; "above 120 ppm there may be a continuous battle with high growing medium pH".
  test.each(['40 mg/l CaCO3', '60 mg/l CaCO3', '80 mg/l CaCO3'])('%s is fit', (text) => {
    expect(fitness({ alkalinityMeqL: chalk('alkalinity', text) })).not.toBe('unfit');
  });

  test.each(['121 mg/l CaCO3', '200 mg/l CaCO3'])('%s is not fit as it is', (text) => {
    expect(fitness({ alkalinityMeqL: chalk('alkalinity', text) })).toBe('unfit');
  });
});

describe('pH alone (Penn State Extension, A Water Quality Toolkit for Greenhouse and Nursery Production)', () => {
  // "pH of water by itself is often of little consequence": it is the alkalinity that tells.
  test('condemns no water', () => {
    for (let ph = 4; ph <= 10; ph += 0.5) expect(fitness({ ph })).not.toBe('unfit');
  });
});

describe('a judgement', () => {
  // Even over the range: doubles would crowd at nought.
  const salts = fc.integer({ min: 0, max: 500 }).map((hundredths) => hundredths / 100);

  test('is never better for more salts, nor for more alkalinity than holds the pH', () => {
    holds(
      fc.property(salts, salts, (one, other) => {
        const [less, more] = one < other ? [one, other] : [other, one];
        expect(rank({ ecMsCm: more })).toBeGreaterThanOrEqual(rank({ ecMsCm: less }));
        const [held, over] = [1 + less, 1 + more];
        expect(rank({ alkalinityMeqL: over })).toBeGreaterThanOrEqual(
          rank({ alkalinityMeqL: held }),
        );
      }),
    );
  });

  test('is the worst of its findings, and the same in whatever unit a reading was told', () => {
    holds(
      fc.property(salts, salts, (ecMsCm, meqL) => {
        const both = { ecMsCm, alkalinityMeqL: meqL };
        expect(rank(both)).toBeGreaterThanOrEqual(rank({ ecMsCm }));
        const told = chalk('alkalinity', `${(meqL * 50.043).toFixed(6)} mg/l CaCO3`);
        // On a limit itself the sixth decimal may tell.
        fc.pre(Math.min(...[0.8, 1.3, 2].map((limit) => Math.abs(limit - meqL))) > 1e-3);
        expect(fitness({ alkalinityMeqL: told })).toBe(fitness({ alkalinityMeqL: meqL }));
      }),
    );
  });
});
