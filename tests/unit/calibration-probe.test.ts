import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PROBE_CALIBRATION_LIMITS as LIMITS } from '../../cli/calibration/limits';
import { assessProbe } from '../../cli/calibration/probe';
import { holds } from '../properties';

const reasonOf = (readings: readonly number[], referenceC: number): string => {
  const result = assessProbe(readings, referenceC, 'metric');
  return result.ok ? 'ok' : result.reason;
};

describe('a probe calibration', () => {
  it('in melting ice makes the mean reading zero', () => {
    const result = assessProbe([0.38, 0.4, 0.42], LIMITS.iceC, 'metric');
    if (!result.ok) throw new Error(result.why);
    expect(result.findings.offsetK).toBeCloseTo(-0.4, 9);
    expect(result.findings.spreadK).toBeCloseTo(0.04, 9);
  });

  it('always makes the probe agree with its reference', () => {
    const reference = fc.double({
      min: LIMITS.referenceMinC,
      max: LIMITS.referenceMaxC,
      noNaN: true,
    });
    const error = fc.double({ min: -1.9, max: 1.9, noNaN: true });
    const noise = fc.array(fc.double({ min: -0.04, max: 0.04, noNaN: true }), {
      minLength: 1,
      maxLength: 20,
    });
    holds(
      fc.property(reference, error, noise, (referenceC, errorK, noiseK) => {
        const result = assessProbe(
          noiseK.map((k) => referenceC + errorK + k),
          referenceC,
          'metric',
        );
        if (!result.ok) throw new Error(result.why);
        const { readC, offsetK } = result.findings;
        expect(readC + offsetK).toBeCloseTo(referenceC, 9);
      }),
    );
  });

  it('is refused for a probe not settled, broken, or too far off, and for a reference that is none', () => {
    expect(reasonOf([0.1, 0.25], 0)).toBe('probe-unsteady');
    expect(reasonOf([0.1, Number.NaN], 0)).toBe('probe-failed');
    expect(reasonOf([], 0)).toBe('probe-failed');
    expect(reasonOf([22.1, 22.1], 20)).toBe('offset-too-large');
    expect(reasonOf([17.9, 17.9], 20)).toBe('offset-too-large');
    expect(reasonOf([20, 20], 80)).toBe('reference-out-of-range');
    expect(reasonOf([20, 20], Number.NaN)).toBe('reference-out-of-range');
  });

  it('refused says what was seen and what to do next', () => {
    const result = assessProbe([23, 23], 20, 'metric');
    if (result.ok) throw new Error('it was accepted');
    expect(result.why).toContain('23.0 °C where 20.0 °C');
    expect(result.next).toMatch(/reference/);
  });
});
