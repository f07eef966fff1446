/** Which NTCs can be a probe, and what codes the limiter gets of them. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LIMITER, LIMITER_BOUNDS } from '../../shared/board/map';
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import {
  codeFromTemperature,
  curveFromB,
  REFERENCE_PROBE,
  resistanceOhm,
  type SteinhartHart,
  temperatureC,
} from '../../shared/physics/ntc';
import {
  bOfProbe,
  CURVE_LIMITS,
  coefficientsOf,
  hotCodeOf,
  isAtOdds,
  type ProbeCurve,
  probeCurveOf,
  readByC,
  stepK,
  unfitCurve,
  windowOf,
} from '../../shared/physics/probe-curve';
import { holds } from '../properties';

const ofB = (ohm: number, b: number): SteinhartHart => curveFromB({ b, t1C: 25, t2C: 85 }, ohm);
const usual = fc
  .tuple(
    fc.double({ min: CURVE_LIMITS.ohmMin, max: CURVE_LIMITS.ohmMax, noNaN: true }),
    fc.double({ min: CURVE_LIMITS.bMinK, max: CURVE_LIMITS.bMaxK, noNaN: true }),
  )
  .map(([ohm, b]) => probeCurveOf(ofB(ohm, b)));

describe('the curve of a probe', () => {
  it('is the same whether told by coefficients or by resistance at 0, 25 and 50 C', () => {
    const { a, b, c } = coefficientsOf(probeCurveOf(REFERENCE_PROBE));
    expect([a, b]).toEqual([
      expect.closeTo(REFERENCE_PROBE.a, 15),
      expect.closeTo(REFERENCE_PROBE.b, 15),
    ]);
    expect(c).toBeCloseTo(REFERENCE_PROBE.c, 18);
    expect(bOfProbe(probeCurveOf(ofB(5_000, 3435)))).toBeCloseTo(3435, 6);
  });

  it.each([
    [10_000, 3435],
    [10_000, 3950],
    [10_000, 3977],
    [5_000, 3977],
    [2_252, 3891],
    [30_000, 3950],
    [47_000, 3950],
    [80_000, 3950],
  ])('of %d ohm and B %d K is taken', (ohm, b) => {
    expect(unfitCurve(probeCurveOf(ofB(ohm, b)))).toBe(null);
  });

  it.each([
    ['a PTC', { at0Ohm: 5_000, at25Ohm: 10_000, at50Ohm: 20_000 }],
    ['a platinum thermometer', { at0Ohm: 1_000, at25Ohm: 1_097, at50Ohm: 1_194 }],
    ['a fixed resistor', { at0Ohm: 10_000, at25Ohm: 10_000, at50Ohm: 10_000 }],
    ['a row misread by a digit', { at0Ohm: 32_554, at25Ohm: 10_000, at50Ohm: 8_605 }],
    ['nothing', { at0Ohm: 0, at25Ohm: 0, at50Ohm: 0 }],
    ['no numbers', { at0Ohm: Number.NaN, at25Ohm: 10_000, at50Ohm: 3_600 }],
    ['an open lead', { at0Ohm: Number.POSITIVE_INFINITY, at25Ohm: 10_000, at50Ohm: 3_600 }],
  ])('of %s is none', (_, curve) => {
    expect(unfitCurve(curve)).toEqual({ why: 'not-an-ntc', facts: [] });
  });

  it.each([
    [900, 3977],
    [110_000, 3977],
    [10_000, 2_400],
    [10_000, 5_100],
  ])('of %d ohm and B %d K is out of range, which names both', (ohm, b) => {
    const unfit = unfitCurve(probeCurveOf(ofB(ohm, b)));
    expect(unfit).toEqual({
      why: 'ntc-out-of-range',
      facts: [expect.closeTo(ohm, 3), b],
    });
  });

  it.each([
    [1_000, 3977, 45],
    [1_500, 3435, 45],
    [100_000, 3950, 10],
  ])('of %d ohm and B %d K would be read too coarsely at one end, %d C', (ohm, b, atC) => {
    expect(unfitCurve(probeCurveOf(ofB(ohm, b)))).toEqual({
      why: 'ntc-too-coarse',
      facts: [atC, expect.any(Number)],
    });
  });

  it('that is taken is read in steps of 0.1 K or less, from 10 to 45 C', () => {
    holds(
      fc.property(usual, fc.double({ min: 10, max: 45, noNaN: true }), (curve, atC) => {
        fc.pre(unfitCurve(curve) === null);
        expect(stepK(coefficientsOf(curve), atC)).toBeLessThanOrEqual(CURVE_LIMITS.stepMaxK);
      }),
    );
  });

  it('of a usual B is taken from the least to the greatest resistance that a refusal advises, and not much beyond', () => {
    const { fineOhmMin, fineOhmMax } = CURVE_LIMITS;
    const unfit = (ohm: number) => unfitCurve(probeCurveOf(ofB(ohm, 3977)));
    for (const ohm of [fineOhmMin, 10_000, fineOhmMax]) expect(unfit(ohm)).toBeNull();
    for (const ohm of [fineOhmMin / 2, fineOhmMax * 2])
      expect(unfit(ohm)?.why).toMatch(/ntc-too-coarse|ntc-out-of-range/);
  });

  it('never makes resistance that is asked back another temperature', () => {
    const any = fc.double({ min: 1, max: 1e7, noNaN: true });
    const anyCurve = fc.record({ at0Ohm: any, at25Ohm: any, at50Ohm: any });
    holds(
      fc.property(fc.oneof(usual, anyCurve), (curve: ProbeCurve) => {
        fc.pre(unfitCurve(curve) === null);
        const coefficients = coefficientsOf(curve);
        for (const atC of [-30, 0, 25, 40, 55, 110])
          expect(temperatureC(resistanceOhm(atC, coefficients), coefficients)).toBeCloseTo(atC, 6);
      }),
    );
  });
});

describe('the codes of a curve', () => {
  it('of the reference probe are those that the runtime has by itself', () => {
    expect(windowOf(REFERENCE_PROBE)).toEqual({
      openCode: LIMITER.openCode,
      shortCode: LIMITER.shortCode,
    });
    for (const name of PROBE_NAMES) {
      const { limiter } = PROBES[name];
      if (limiter === null) continue;
      expect(hotCodeOf(REFERENCE_PROBE, limiter.hotC)).toBe(limiter.hotCode);
    }
  });

  it('are within what the runtime takes, hot between short and open, for every curve that is taken', () => {
    holds(
      fc.property(usual, (curve) => {
        fc.pre(unfitCurve(curve) === null);
        const coefficients = coefficientsOf(curve);
        const { openCode, shortCode } = windowOf(coefficients);
        expect(shortCode).toBeGreaterThanOrEqual(LIMITER_BOUNDS.shortMin);
        expect(openCode).toBeLessThanOrEqual(LIMITER_BOUNDS.openMax);
        for (const hotC of [40, 55]) {
          const hotCode = hotCodeOf(coefficients, hotC);
          expect(hotCode).toBeGreaterThanOrEqual(LIMITER_BOUNDS.hotMin);
          expect(hotCode).toBeLessThanOrEqual(LIMITER_BOUNDS.hotMax);
          expect(hotCode).toBeGreaterThan(shortCode);
          expect(hotCode).toBeLessThan(openCode);
        }
        // What a tray may have is never taken for a broken wire.
        expect(hotCodeOf(coefficients, -10)).toBeLessThan(openCode);
      }),
    );
  });
});

describe('a new curve beside the other probe', () => {
  it.each([
    [24, 24, 24, false, 'both agree'],
    [9, 24, 9, false, '15 K apart, as a mat that heats may be'],
    [8.9, 24, 8.9, true, 'more than 15 K apart'],
    [60, 24, 60, true, 'too warm as well'],
    [24, 40.5, 24, false, 'both are of the new kind, in a room'],
    [24, 40.5, 38, true, 'by the new curve the other one is in no room'],
    [-12, 46, 30, false, 'the other one reads what no tray has'],
    [-12, 4.9, 30, false, 'nor this'],
    [Number.NaN, 24, 24, false, 'the probe is broken'],
    [-12, Number.NaN, 30, false, 'the other one is broken'],
  ])(
    'by which it reads %s C, the other one %s C, and by the same curve %s C: at odds %s, for %s',
    (byItC, otherC, otherByItC, isIt) => {
      expect(isAtOdds(byItC, otherC, otherByItC)).toBe(isIt);
    },
  );

  it('reads nothing where by it the probe is open or short', () => {
    const curve = probeCurveOf(ofB(2_200, 3977));
    expect(readByC(null, codeFromTemperature(24))).toBeCloseTo(24, 6);
    expect(readByC(curve, codeFromTemperature(24))).toBeLessThan(-5);
    for (const code of [0, 4_095, codeFromTemperature(-25), Number.NaN])
      expect(readByC(curve, code)).toBeNaN();
  });
});
