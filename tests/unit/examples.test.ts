/** Examples that a refusal gives, and quantities below zero, as they are typed. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { withMinus } from '../../cli/arguments/minus';
import { rangeText } from '../../cli/arguments/within';
import { parseQuantity, QUANTITY_KINDS } from '../../shared/units';
import { examplesIn } from '../../shared/units/examples';
import { holds } from '../properties';

describe('an example', () => {
  it.each([
    ['air vpd --air 24C --humidity 70%', 'air vpd --air 75F --humidity 70%'],
    ['--at 40cm --ppfd 300umol --panel 60x60cm', '--at 16in --ppfd 300umol --panel 24x24in'],
    ['--volume 4l --has 0.3mS/cm --gain 2mS/cm', '--volume 1.1gal --has 0.3mS/cm --gain 2mS/cm'],
    ['seed thermal 15C=14d 20C=8d --to 22C', 'seed thermal 59F=14d 68F=8d --to 72F'],
    ['--room "16..22 C"', '--room "61..72 F"'],
    ['--leaf-offset -2K', '--leaf-offset -3.6F'],
    ['such as 1200m or 10000lux', 'such as 3900ft or 930fc'],
    // Written for both.
    ['--room 18C or 64F', null],
    ['Write it as 60x60cm, or 24x48in.', null],
    // No quantities of these units.
    ['200umol, 12mol, 16h, 1:100, 28DZKQC, 2026-03-01, e66100000000000b', null],
  ])('%s is in US units %s', (metric, us) => {
    expect(examplesIn(metric, 'us')).toBe(us ?? metric);
    expect(examplesIn(metric, 'metric')).toBe(metric);
  });
});

describe('a range', () => {
  it('has ends that are themselves allowed, in either unit', () => {
    const limits = fc.tuple(
      fc.constantFrom(...QUANTITY_KINDS.filter((kind) => kind !== 'duration')),
      fc.double({ min: 0.02, max: 10_000, noNaN: true }),
      fc.double({ min: 1.1, max: 1_000, noNaN: true }),
    );
    holds(
      fc.property(limits, fc.constantFrom('metric', 'us'), ([kind, least, times], units) => {
        const most = least * times;
        for (const end of rangeText(kind, least, most, units).split(' to ')) {
          const parsed = parseQuantity(kind, end);
          expect(parsed.ok && parsed.value, end).toBeGreaterThanOrEqual(least * (1 - 1e-6));
          expect(parsed.ok && parsed.value, end).toBeLessThanOrEqual(most * (1 + 1e-6));
        }
      }),
    );
  });
});

it('a quantity below zero is no option', () => {
  expect(withMinus(['ec', '-1mS/cm', '--at', '-3 C', '-1C=5d', '-.5K'])).toEqual([
    ...['ec', '\u22121mS/cm', '--at', '\u22123 C', '\u22121C=5d', '\u2212.5K'],
  ]);
  const others = ['-1', '-V', '--yes', '-', '--', '-h', '2026-03-01', '0-5C'];
  expect(withMinus(others)).toEqual(others);
});
