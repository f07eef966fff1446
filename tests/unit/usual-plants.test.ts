/** What plants usually weigh by their age, on a tray where none was weighed yet. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { usualPlant, usualStandG } from '../../firmware/control/usual-plants';
import { DAY_MS } from '../../shared/units/time';
import { holds } from '../properties';

const CROPS = ['tomato', 'pepper', 'cucumber', 'lettuce', 'basil'];
/** Longer than any crop stays in a propagator. */
const DAYS = 120;
/** A full tray of seedlings and more, g. */
const HEAVY_G = 2_000;

describe('usual plants', () => {
  it('grow with every day, and never weigh less than what they began with', () => {
    const stand = fc.record({
      crop: fc.constantFrom(...CROPS),
      fromG: fc.double({ min: 0.5, max: HEAVY_G, noNaN: true }),
      days: fc.integer({ min: 0, max: DAYS }),
    });
    holds(
      fc.property(stand, ({ crop, fromG, days }) => {
        const plant = usualPlant(crop);
        const at = (day: number) => usualStandG(plant, fromG, day * DAY_MS);
        expect(at(0)).toBeCloseTo(fromG, 6);
        expect(at(days)).toBeGreaterThanOrEqual(at(0));
        const gainG = at(days + 1) - at(days);
        expect(gainG).toBeGreaterThan(0);
        expect(gainG).toBeLessThanOrEqual(plant.mostGPerDay * (1 + 1e-9));
      }),
    );
  });

  it('weigh nothing as long as none is there', () => {
    for (const crop of CROPS) expect(usualStandG(usualPlant(crop), 0, 30 * DAY_MS)).toBe(0);
  });

  it('of a crop without figures are taken for middle ones: no lighter and no heavier than all others', () => {
    const weeksG = (crop: string) => {
      const plant = usualPlant(crop);
      return usualStandG(plant, 98 * plant.firstG, 28 * DAY_MS);
    };
    const knownG = CROPS.map(weeksG);
    expect(weeksG('okra')).toBeGreaterThan(Math.min(...knownG));
    expect(weeksG('okra')).toBeLessThan(Math.max(...knownG));
    expect(usualPlant('')).toEqual(usualPlant('okra'));
  });

  it('are found however a grower writes the name of the crop', () => {
    expect(usualPlant(' Cucumber ')).toEqual(usualPlant('cucumber'));
    expect(usualPlant('cucumber')).not.toEqual(usualPlant('okra'));
  });

  it('begin as a tenth of a gram (tomato: Klapwijk and de Lint, Neth. J. Agric. Sci.)', () => {
    expect(usualPlant('tomato').firstG).toBe(0.1);
  });

  it('grow by the expolinear rule, dW/dt = c (1 - exp(-r W / c)) (Goudriaan and Monteith, Ann. Bot. 1990)', () => {
    const STEPS = 2_000;
    for (const crop of CROPS) {
      const plant = usualPlant(crop);
      const { relativePerDay: r, mostGPerDay: c } = plant;
      const fromG = 98 * plant.firstG;
      let steppedG = fromG;
      for (let step = 0; step < 42 * STEPS; step++)
        steppedG += (c / STEPS) * (1 - Math.exp((-r * steppedG) / c));
      expect(usualStandG(plant, fromG, 42 * DAY_MS) / steppedG).toBeCloseTo(1, 3);
    }
  });
});
