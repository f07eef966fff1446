import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PUMP_CALIBRATION_LIMITS as LIMITS } from '../../cli/calibration/limits';
import { assessPump, checkRun } from '../../cli/calibration/pump';
import { holds } from '../properties';

const ROOM_C = 20;
/** Millilitres in a gram as a scale reads it, at 20 degrees (ISO 8655-6). */
const ML_PER_G_READ = 1.0029;
const runs = (...gains: readonly number[]) =>
  gains.map((gainedG) => ({ ranS: LIMITS.runS, gainedG }));
const reasonOf = (...args: Parameters<typeof assessPump>): string => {
  const result = assessPump(...args);
  return result.ok ? 'ok' : result.reason;
};

/** A calibration in use, of runs that scattered by `cvPercent`. */
const calibrated = (mlPerS: number, cvPercent = 1) => ({ mlPerS, cvPercent });

describe('a pump calibration', () => {
  it('is the mean rate of its runs, in millilitres of water', () => {
    const result = assessPump(runs(19.8, 20, 20.2), ROOM_C, null, false);
    if (!result.ok) throw new Error(result.why);
    expect(result.findings.mlPerS).toBeCloseTo(2 * ML_PER_G_READ, 3);
    expect(result.findings.cvPercent).toBeCloseTo(1, 6);
    expect(result.findings).toMatchObject({ drift: 'first', driftPercent: null });
  });

  it('tells a tube that ages from one that is worn out', () => {
    const now = 2 * ML_PER_G_READ;
    const judged = (previous: number) => {
      const result = assessPump(runs(20, 20, 20), ROOM_C, calibrated(previous), true);
      return result.ok ? result.findings.drift : result.reason;
    };
    expect([now * 1.01, now / 0.9, now / 0.8].map(judged)).toEqual([
      'steady',
      'ageing',
      'worn-out',
    ]);
    expect(judged(0)).toBe('first');
  });

  it('gives the change against the last one with its sign', () => {
    holds(
      fc.property(fc.double({ min: 0.1, max: 10, noNaN: true }), (previous) => {
        const result = assessPump(runs(20, 20, 20), ROOM_C, calibrated(previous), true);
        if (!result.ok) throw new Error(result.why);
        const { mlPerS, driftPercent } = result.findings;
        expect(previous * (1 + (driftPercent ?? Number.NaN) / 100)).toBeCloseTo(mlPerS, 6);
      }),
    );
  });

  it('is refused when the tube seems worn out, unless the grower says the change is meant', () => {
    const args = [runs(20, 20, 20), ROOM_C, calibrated(3)] as const;
    expect(reasonOf(...args, false)).toBe('pump-drift');
    expect(reasonOf(...args, true)).toBe('ok');
    const result = assessPump(...args, false);
    expect(result.ok ? '' : result.why).toContain('-33.1 %');
  });

  it('that scatters more than the one in use is refused, unless the grower says that it is as good as it gets', () => {
    const args = [runs(19, 20, 21.2), ROOM_C, calibrated(2, 0.5)] as const;
    expect(reasonOf(...args, false)).toBe('pump-worse');
    expect(reasonOf(...args, true)).toBe('ok');
    expect(reasonOf(runs(19, 20, 21.2), ROOM_C, calibrated(2, 5), false)).toBe('ok');
  });

  it('is refused for scatter that doses cannot be told from, for air, and for too few or short runs', () => {
    expect(reasonOf(runs(20, 26, 15), ROOM_C, null, true)).toBe('pump-scatter');
    expect(reasonOf(runs(20, 0, 20), ROOM_C, null, true)).toBe('pump-runs-unusable');
    expect(reasonOf(runs(20, -3, 20), ROOM_C, null, true)).toBe('pump-runs-unusable');
    expect(reasonOf(runs(20, Number.NaN, 20), ROOM_C, null, true)).toBe('pump-runs-unusable');
    expect(reasonOf(runs(20), ROOM_C, null, true)).toBe('pump-runs-unusable');
    expect(reasonOf([], ROOM_C, null, true)).toBe('pump-runs-unusable');
    const short = { ranS: 1, gainedG: 2 };
    expect(reasonOf([short, short], ROOM_C, null, true)).toBe('pump-runs-unusable');
  });

  it('ends at a run that brought no water, and goes on after one that did, however slow the pump', () => {
    const ended = (gainedG: number): boolean => checkRun({ ranS: 10, gainedG }, 'metric') !== null;
    expect([0, -3, 0.2, Number.NaN].map(ended)).toEqual([true, true, true, true]);
    expect([1, 19.8].map(ended)).toEqual([false, false]);
  });

  it('of any runs is a rate above zero with little scatter, or is refused in words', () => {
    const run = fc.record({ ranS: fc.double(), gainedG: fc.double() });
    const likely = fc.record({
      ranS: fc.double({ min: 2, max: 60, noNaN: true }),
      gainedG: fc.double({ min: 0.1, max: 90, noNaN: true }),
    });
    const any = fc.array(
      fc.oneof({ weight: 9, arbitrary: likely }, { weight: 1, arbitrary: run }),
      {
        maxLength: 6,
      },
    );
    holds(
      fc.property(any, (some) => {
        const result = assessPump(some, ROOM_C, null, false);
        if (result.ok) {
          expect(result.findings.mlPerS).toBeGreaterThan(0);
          expect(result.findings.cvPercent).toBeLessThanOrEqual(LIMITS.cvPercentMax);
        } else {
          expect(result.why).toMatch(/^[A-Z].*\.$/);
          expect(result.next).not.toBe('');
        }
      }),
    );
  });
});
