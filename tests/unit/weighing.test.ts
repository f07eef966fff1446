import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NOT_SINCE_CUT, unweighedFor, WEIGHED } from '../../firmware/control/weighing';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';

const notSinceStart = (silentMs: number) => ({ is: 'not-since-start', silentMs }) as const;

describe('a tray that is weighed again', () => {
  it('had not been for as long as its scale was silent', () => {
    expect(unweighedFor({ is: 'silent', sinceMs: HOUR_MS }, 3 * HOUR_MS)).toBe(2 * HOUR_MS);
    expect(unweighedFor(WEIGHED, HOUR_MS)).toBe(0);
  });

  it('soon after a start had not been since that, and as long before as its scale was silent already', () => {
    const { firstWeightMs } = WEIGHT_LIMITS;
    expect(unweighedFor(notSinceStart(0), firstWeightMs)).toBe(firstWeightMs);
    expect(unweighedFor(notSinceStart(20 * MINUTE_MS), 4_000)).toBe(20 * MINUTE_MS + 4_000);
  });

  it('later, or after a power cut, had not been for nobody knows how long', () => {
    expect(unweighedFor(notSinceStart(0), WEIGHT_LIMITS.firstWeightMs + 1)).toBe(
      Number.POSITIVE_INFINITY,
    );
    expect(unweighedFor(NOT_SINCE_CUT, 5_000)).toBe(Number.POSITIVE_INFINITY);
  });

  it('had not been for longer, the longer that takes', () => {
    const ms = fc.nat(30 * HOUR_MS);
    const weighing = fc.oneof(
      ms.map((sinceMs) => ({ is: 'silent', sinceMs }) as const),
      ms.map(notSinceStart),
      fc.constantFrom(WEIGHED, NOT_SINCE_CUT),
    );
    holds(
      fc.property(weighing, ms, ms, (state, a, b) => {
        const [sooner, later] = a < b ? [a, b] : [b, a];
        const from = state.is === 'silent' ? state.sinceMs : 0;
        const soonerMs = unweighedFor(state, from + sooner);
        expect(soonerMs).toBeGreaterThanOrEqual(0);
        expect(unweighedFor(state, from + later)).toBeGreaterThanOrEqual(soonerMs);
      }),
    );
  });
});
