import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  formatPpm,
  formatQuantity,
  inBothUnits,
  NO_VALUE,
  PPM_SCALES,
  parseQuantity,
  QUANTITY_KINDS,
  type QuantityKind,
  type UnitSystem,
} from '../../shared/units';
import { anyCharacter } from '../any-text';
import { holds } from '../properties';

const SYSTEMS: readonly UnitSystem[] = ['metric', 'us'];
const kinds = fc.constantFrom(...QUANTITY_KINDS);
const systems = fc.constantFrom(...SYSTEMS);

const refusal = (kind: QuantityKind, text: string): string => {
  const verdict = parseQuantity(kind, text);
  return verdict.ok ? `accepted as ${verdict.value}` : verdict.why;
};

describe('reading quantities', () => {
  test.each<[QuantityKind, string, number]>([
    ['temperature', '25 C', 25],
    ['temperature', '77°F', 25],
    ['temperature', '-5.5 °C', -5.5],
    ['temperature', '\u22125 C', -5],
    ['temperature', '  32 f  ', 0],
    ['temperature-difference', '0.5 K', 0.5],
    ['temperature-difference', '0.5 C', 0.5],
    ['temperature-difference', '9 F', 5],
    ['mass', '1 kg', 1000],
    ['mass', '1 lb', 453.59237],
    ['mass', '16 oz', 453.59237],
    ['volume', '40ml', 40],
    ['volume', '1.5 L', 1500],
    ['volume', '1 fl oz', 29.5735295625],
    ['volume', '1 US gal', 3785.411784],
    ['ec', '1.2 mS/cm', 1.2],
    ['ec', '1200 µS/cm', 1.2],
    ['ec', '1200 \u03bcS/cm', 1.2],
    ['ec', '1.2 dS/m', 1.2],
    ['ec', '600 ppm500', 1.2],
    ['ec', '768 ppm (640)', 1.2],
    ['ec', '840 ppm (700 scale)', 1.2],
    ['duration', '90 s', 90],
    ['duration', '2 h 30 min', 9000],
    ['duration', '2h30min', 9000],
    ['duration', '1 day 12 hours', 129_600],
    ['duration', '1.5 h', 5400],
    ['duration', '2 weeks 1 d', 15 * 86_400],
    ['length', '36 mm', 36],
    ['length', '1.5 in', 38.1],
    ['length', '6.5 cm', 65],
    ['share', '30 %', 0.3],
    ['share', '12.5%', 0.125],
    ['ppfd', '200 umol', 200],
    ['ppfd', '200 µmol/m²/s', 200],
    ['ppfd', '200 umol m-2 s-1', 200],
    ['light-sum', '12 mol/m2/day', 12],
    ['illuminance', '10 klx', 10_000],
    ['illuminance', '1000 fc', 1000 / 0.09290304],
    ['distance', '45cm', 0.45],
    ['distance', '18 in', 0.4572],
    ['distance', "2'", 0.6096],
    ['distance', '1200 m', 1200],
    ['alkalinity', '3 meq/l', 3],
    ['alkalinity', '150.129 mg/l CaCO3', 3],
    ['alkalinity', '150.129 ppm as CaCO3', 3],
    ['alkalinity', '183.051 mg/L HCO3', 3],
    ['hardness', '200.172 mg/l CaCO3', 4],
    ['resistance', '4.7k', 4_700],
    ['resistance', '27.28 kΩ', 27_280],
    ['resistance', '500 Ohm', 500],
  ])('%s "%s" is %d', (kind, text, value) => {
    const verdict = parseQuantity(kind, text);
    expect(verdict.ok ? verdict.value : verdict.why).toBeCloseTo(value, 9);
  });

  test.each<[string, QuantityKind, string, RegExp]>([
    ['a missing value', 'temperature', ' ', /missing.*"25 C"/],
    ['text in place of a number', 'temperature', 'warm', /does not begin with a number/],
    ['text in a number', 'temperature', '2O C', /"O C" is not a unit/],
    ['NaN', 'mass', 'NaN g', /does not begin with a number/],
    ['infinity', 'mass', 'Infinity g', /does not begin with a number/],
    ['a number too large to hold', 'mass', `${'9'.repeat(400)} g`, /too large/],
    ['an exponent', 'mass', '1e5 g', /Write it out/],
    ['two points', 'mass', '1.2.3 g', /not a plain number/],
    ['a decimal comma', 'temperature', '25,5 C', /decimals with a point/],
    ['a missing unit, naming those that would do', 'temperature', '25', /no unit. Write C or F/],
    ['a share without its sign', 'share', '0.3', /no unit. Write %/],
    ['a weight for a temperature', 'temperature', '25 g', /unit of weight, not of temperature/],
    ['a weight ounce for a volume', 'volume', '3 oz', /weight.*ml, l, fl oz or gal/],
    ['a fluid ounce for a weight', 'mass', '3 fl oz', /volume.*g, kg, oz or lb/],
    ['kelvin for a temperature', 'temperature', '300 K', /temperature difference/],
    ['an unknown unit', 'mass', '3 stone', /not a unit known here/],
    ['a negative weight', 'mass', '-5 g', /cannot be less than 0/],
    ['a negative duration', 'duration', '-5 min', /cannot be less than 0/],
    ['colder than absolute zero', 'temperature', '-300 C', /absolute zero/],
    ['duration parts out of order', 'duration', '30 min 2 h', /out of order/],
    ['a duration part twice', 'duration', '2 h 3 h', /out of order/],
    ['a sign inside a duration', 'duration', '2 h -5 min', /sign in the middle/],
    ['minutes or metres', 'duration', '5 m', /s, min, h, d or week/],
    ['a duration that stops short', 'duration', '2 h 30', /no unit/],
  ])('refuses %s', (_what, kind, text, why) => {
    expect(refusal(kind, text)).toMatch(why);
  });

  test('a bare ppm is refused, with what it may mean and what to write', () => {
    const why = refusal('ec', '500 ppm');
    expect(why).toMatch(/500, 640 or 700/);
    expect(why).toMatch(/0\.71 to 1\.00 mS\/cm/);
    expect(why).toMatch(/"500 ppm500", "500 ppm640" or "500 ppm700"/);
    expect(refusal('ec', '500 ppm442')).toMatch(/none of them/);
    expect(refusal('mass', '500 ppm')).toMatch(/unit of EC, not of weight/);
  });

  // German degrees of drinking-water reports: 1 meq/l is 2.8 of them, and one is 17.85 mg/l CaCO3.
  test.each<[QuantityKind, string, number]>([
    ['alkalinity', '2.8 °dKH', 1],
    // A grain a US gallon is 17.1 mg/l (common practice).
    ['hardness', '10 gpg', 171.18 / 50.043],
    ['hardness', '10 dGH', 178.5 / 50.04],
  ])('%s "%s" is %d within 0.2 %%', (kind, text, value) => {
    const verdict = parseQuantity(kind, text);
    expect(verdict.ok && Math.abs(verdict.value / value - 1)).toBeLessThan(0.002);
  });

  test('milligrams that do not say of what are refused: chalk and bicarbonate differ by a fifth', () => {
    for (const bare of ['150 mg/l', '150 ppm']) {
      expect(refusal('alkalinity', bare)).toMatch(/"150 mg\/l CaCO3", or "150 mg\/l HCO3"/);
      expect(refusal('hardness', bare)).toMatch(/"150 mg\/l CaCO3"\.$/);
    }
  });

  test('no text at all makes it throw, and what it accepts is a finite number', () => {
    const likely = fc
      .array(
        fc.constantFrom('1', '9', '.', '-', ' ', 'h', 'min', 'C', 'ppm', '500', '%', 'e', ','),
        {
          maxLength: 9,
        },
      )
      .map((parts) => parts.join(''));
    const text = fc.oneof(likely, fc.string({ unit: anyCharacter, maxLength: 60 }));
    holds(
      fc.property(kinds, text, (kind, written) => {
        const verdict = parseQuantity(kind, written);
        if (verdict.ok) expect(Number.isFinite(verdict.value)).toBe(true);
        else expect(verdict.why.length).toBeGreaterThan(20);
      }),
      { numRuns: 2000 },
    );
  });

  test('names of object fields are not units', () => {
    for (const name of ['constructor', '__proto__', 'toString']) {
      expect(refusal('mass', `1 ${name}`)).toMatch(/not a unit known here/);
    }
  });
});

describe('showing quantities', () => {
  test.each<[QuantityKind, number, string, string]>([
    ['temperature', 24.26, '24.3 °C', '75.7 °F'],
    ['temperature', -0.01, '0.0 °C', '32.0 °F'],
    ['temperature-difference', 0.5, '0.5 K', '0.9 °F'],
    ['mass', 12.34, '12.3 g', '0.44 oz'],
    ['mass', 99.97, '100 g', '3.53 oz'],
    ['mass', 3200.6, '3201 g', '7.06 lb'],
    ['mass', 15_000, '15.00 kg', '33.07 lb'],
    ['volume', 40, '40.0 ml', '1.35 fl oz'],
    ['volume', 610.7, '611 ml', '20.65 fl oz'],
    ['volume', 20_000, '20.0 l', '5.28 gal'],
    ['volume', 1e6, '1000 l', '264 gal'],
    ['volume', 123_456, '123 l', '32.6 gal'],
    ['ec', 1.2, '1.20 mS/cm', '1.20 mS/cm'],
    ['duration', 0, '0 s', '0 s'],
    ['duration', 59.6, '1 min', '1 min'],
    ['duration', 150, '2 min 30 s', '2 min 30 s'],
    ['duration', 86_399, '1 d', '1 d'],
    ['duration', 273_600, '3 d 4 h', '3 d 4 h'],
    ['length', 38.1, '38.1 mm', '1.50 in'],
    ['length', 36, '36 mm', '1.42 in'],
    ['share', 0.3, '30.0 %', '30.0 %'],
    ['ppfd', 173.6, '174 µmol/m²/s', '174 µmol/m²/s'],
    ['light-sum', 8.64, '8.64 mol/m²/d', '8.64 mol/m²/d'],
    ['illuminance', 10_800, '10800 lux', '1000 fc'],
    ['illuminance', 0, '0 lux', '0 fc'],
    ['distance', 0.45, '45 cm', '18 in'],
    ['distance', 0.024, '2.4 cm', '0.9 in'],
    ['distance', 0.9949, '99 cm', '39 in'],
    ['distance', 1.8, '1.8 m', '5.91 ft'],
    ['alkalinity', 3, '150 mg/l CaCO3', '150 ppm CaCO3'],
    ['hardness', 4, '200 mg/l CaCO3', '200 ppm CaCO3'],
    ['resistance', 10_000, '10 kΩ', '10 kΩ'],
    ['resistance', 32_554, '32.554 kΩ', '32.554 kΩ'],
    ['resistance', 437.3, '437.3 Ω', '437.3 Ω'],
  ])('%s %d is "%s" or "%s"', (kind, value, metric, us) => {
    expect(formatQuantity(kind, value, 'metric')).toBe(metric);
    expect(formatQuantity(kind, value, 'us')).toBe(us);
  });

  test('a value that is not known is shown as such', () => {
    holds(
      fc.property(kinds, systems, (kind, system) => {
        expect(formatQuantity(kind, Number.NaN, system)).toBe(NO_VALUE);
        expect(formatQuantity(kind, Number.POSITIVE_INFINITY, system)).toBe(NO_VALUE);
      }),
    );
    expect(formatPpm(Number.NaN, 500)).toBe(NO_VALUE);
  });

  test('gives a temperature in both units to whom it does not know, as tables print them', () => {
    expect(inBothUnits(15.56)).toBe('15.6 °C (60 °F)');
    expect(inBothUnits(25, 30)).toBe('25 to 30 °C (77 to 86 °F)');
  });

  test('what is shown is read back as the same quantity, to the digits shown', () => {
    const value = fc.double({ min: 0, max: 50_000, noNaN: true });
    holds(
      fc.property(kinds, systems, value, (kind, system, shown) => {
        const verdict = parseQuantity(kind, formatQuantity(kind, shown, system));
        expect(verdict.ok).toBe(true);
        if (!verdict.ok) return;
        // Half of the last digit: of the smaller unit shown for durations, 3 % at the very worst.
        const slack = kind === 'duration' ? 1 + shown * 0.03 : 0.2 + shown * 0.01;
        expect(Math.abs(verdict.value - shown)).toBeLessThanOrEqual(slack);
        const again = formatQuantity(kind, verdict.value, system);
        expect(again).toBe(formatQuantity(kind, shown, system));
      }),
    );
  });

  test('ppm is shown with its scale, and read back', () => {
    holds(
      fc.property(
        fc.constantFrom(...PPM_SCALES),
        fc.integer({ min: 0, max: 4000 }),
        (scale, ppm) => {
          const text = formatPpm(ppm / scale, scale);
          expect(text).toBe(`${ppm} ppm${scale}`);
          const verdict = parseQuantity('ec', text);
          expect(verdict.ok && verdict.value).toBeCloseTo(ppm / scale, 12);
        },
      ),
    );
  });
});
