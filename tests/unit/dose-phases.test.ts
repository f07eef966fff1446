import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type DoseInput,
  type DoseState,
  isGiving,
  isPumping,
  nextDose,
  noDose,
  ranLately,
  serviceRun,
  stopped,
} from '../../firmware/control/dose';
import { WATER_LIMITS } from '../../firmware/limits';
import { SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';

const CHARGED = { sinceMs: 0, reason: 'dry-back', plannedMl: 40, beforeG: 4_000 } as const;
const GIVEN = { ...CHARGED, ranMs: 20_000, peakG: 4_040, shownMs: 0 } as const;
/** 20 s of pump time, 6 s of them run, and a lease of 2 s. */
const RUNNING = { pumpMs: 20_000, deliveredMs: 6_000, leasedMs: 2_000 } as const;
const DOSING: DoseState = { phase: 'dosing', ...CHARGED, ...RUNNING };
const BY_HAND: DoseState = { ...serviceRun('prime', 20_000, 2, 0), ...RUNNING };
const PHASES: readonly DoseState[] = [
  noDose(0),
  { phase: 'weighing', sinceMs: 0, reason: 'dry-back' },
  DOSING,
  { phase: 'soaking-in', ...GIVEN },
  { phase: 'proving', ...GIVEN },
  BY_HAND,
];
const phases = (which: (state: DoseState) => boolean) =>
  PHASES.filter(which).map(({ phase }) => phase);

describe('what dosing is at', () => {
  it('is a dose that the scale may be seeing from the pump on until it is weighed; no run by hand is', () => {
    expect(phases(isGiving)).toEqual(['dosing', 'soaking-in', 'proving']);
  });

  it('is the pump running, for a dose or by hand, and in no other phase', () => {
    expect(phases(isPumping)).toEqual(['dosing', 'service']);
  });
});

describe('how long the pump has run', () => {
  it('lately is the time that passed, and never longer than its lease', () => {
    for (const state of [DOSING, BY_HAND]) {
      expect(ranLately(state, SECOND_MS)).toBe(SECOND_MS);
      expect(ranLately(state, 9 * SECOND_MS)).toBe(2 * SECOND_MS);
    }
    expect(ranLately({ phase: 'proving', ...GIVEN }, SECOND_MS)).toBe(0);
  });

  it('when it is stopped may be all of its last lease: nobody knows how much of that is over', () => {
    const ended = { verdict: 'stopped', plannedMl: 40, ranMs: 8_000, drained: false, came: false };
    expect(stopped(DOSING)).toMatchObject({ ...ended, reason: 'dry-back', beforeG: 4_000 });
    expect(stopped(BY_HAND)).toMatchObject({ ...ended, reason: 'prime', beforeG: Number.NaN });
    expect(PHASES.filter((state) => stopped(state) === null).map(({ phase }) => phase)).toEqual([
      'idle',
      'weighing',
      'soaking-in',
      'proving',
    ]);
  });
});

describe('over any course of a dose, or of a run by hand', () => {
  const CALM: DoseInput = {
    uptimeMs: 0,
    dtMs: SECOND_MS,
    need: 'dry-back',
    allowedMl: 20,
    held: false,
    handled: false,
    grams: 4_000,
    settled: true,
    noiseG: 0.2,
    fullG: 4_500,
    thingsG: 0,
    mlPerS: 2,
    gPerMl: 1,
    soakInMs: 10_000,
    dryingGPerMs: 0,
  };
  const rarely = fc.integer({ min: 0, max: 40 }).map((n) => n === 0);
  const tick = fc.record({
    dtMs: fc.constantFrom(SECOND_MS, SECOND_MS, SECOND_MS, 2_500, 7_000),
    held: rarely,
    handled: rarely,
    settled: fc.boolean(),
  });
  const from = fc.constantFrom(noDose(0), serviceRun('calibrate', 30_000, 2, 0));

  it('the pump has a lease as long as it runs, and what ran by its ticks is what a dose ends with', () => {
    const course = fc.array(tick, { maxLength: 80, size: 'max' });
    holds(
      fc.property(from, course, (first, ticks) => {
        let state: DoseState = first;
        let uptimeMs = 0;
        let ranMs = 0;
        for (const one of ticks) {
          uptimeMs += one.dtMs;
          ranMs += ranLately(state, one.dtMs);
          const stoppedMs = stopped(state)?.ranMs;
          const step = nextDose(state, { ...CALM, ...one, uptimeMs });
          // The grower's stop counts for no less than the tick that would have come.
          if (isPumping(state)) expect(stoppedMs).toBeGreaterThanOrEqual(ranMs);
          expect(isPumping(step.state)).toBe(step.leaseMs > 0);
          if (step.ended) expect(step.ended.ranMs).toBe(ranMs);
          if (step.ended || step.beginsMl > 0) ranMs = 0;
          state = step.state;
        }
      }),
    );
  });

  it('a stop has run no longer than the pump was to, and it gives nothing that is not charged', () => {
    const pumpMs = fc.integer({ min: WATER_LIMITS.minDoseMs, max: 60_000 });
    holds(
      fc.property(pumpMs, fc.array(tick, { maxLength: 40 }), (forMs, ticks) => {
        let state: DoseState = noDose(0);
        ticks.forEach(({ dtMs }, i) => {
          const input = { ...CALM, dtMs, allowedMl: (forMs / 1_000) * 2, uptimeMs: i * 1_000 };
          state = nextDose(state, input).state;
          const ended = stopped(state);
          if (ended === null) return;
          expect(ended.ranMs).toBeLessThanOrEqual(forMs);
          expect(isGiving(state)).toBe(true);
        });
      }),
    );
  });
});
