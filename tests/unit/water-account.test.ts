import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BrokenInvariant } from '../../firmware/assert';
import {
  CHECKPOINT_BYTES,
  CheckpointPacker,
  unpackCheckpoint,
} from '../../firmware/tray/checkpoint';
import { emptyRunState } from '../../firmware/tray/run-state';
import { charge, passHours } from '../../firmware/tray/water-account';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';

describe('the rolling day', () => {
  it('counts a dose for a whole day, and forgets it an hour later at most', () => {
    for (const startMs of [0, 1, HOUR_MS / 2, HOUR_MS - 1]) {
      const account = emptyRunState().account;
      passHours(account, startMs);
      charge(account, 100);
      passHours(account, DAY_MS);
      expect(account.dayMl).toBe(100);
      passHours(account, HOUR_MS);
      expect(account.dayMl).toBe(0);
    }
  });

  it('is not opened by one very late tick, nor emptied for longer than the tick was late', () => {
    const account = emptyRunState().account;
    charge(account, 100);
    passHours(account, DAY_MS + HOUR_MS - 1);
    expect(account.dayMl).toBe(100);
    charge(account, 50);
    passHours(account, 1_000 * DAY_MS);
    expect(account.dayMl).toBe(0);
    expect(account.hourMs).toBeLessThan(HOUR_MS);
  });

  it('stage and reservoir count on when the day has gone by', () => {
    const account = emptyRunState().account;
    charge(account, 100);
    passHours(account, 3 * DAY_MS);
    charge(account, 20);
    expect(account).toMatchObject({ dayMl: 20, stageMl: 120, usedMl: 120 });
  });

  it('what a stopped dose did not give is taken back, never below nothing', () => {
    const account = emptyRunState().account;
    charge(account, 100);
    charge(account, -40);
    expect(account).toMatchObject({ dayMl: 60, stageMl: 60, usedMl: 60 });
    charge(account, -500);
    expect(account).toMatchObject({ dayMl: 0, stageMl: 0, usedMl: 0 });
  });

  it('a dose that may be larger than its pump says is counted so in the caps, but not in the reservoir', () => {
    const account = emptyRunState().account;
    charge(account, 100, 1.25);
    expect(account).toMatchObject({ dayMl: 125, stageMl: 125, usedMl: 100 });
    charge(account, -40, 1.25);
    expect(account).toMatchObject({ dayMl: 75, stageMl: 75, usedMl: 60 });
  });

  it('an amount that is no number stops the board rather than opening the caps, and counts nothing', () => {
    const account = emptyRunState().account;
    charge(account, 100);
    const before = { ...account, hoursMl: [...account.hoursMl] };
    expect(() => charge(account, Number.NaN)).toThrow(BrokenInvariant);
    expect({ ...account, hoursMl: [...account.hoursMl] }).toEqual(before);
  });
});

describe('over any course of doses, late ticks and power cuts', () => {
  const dose = fc.double({ min: 0.1, max: 700, noNaN: true }).map((ml) => ({ ml, ms: 0 }));
  const time = fc
    .oneof(fc.integer({ min: 1, max: 2 * HOUR_MS }), fc.integer({ min: 1, max: 3 * DAY_MS }))
    .map((ms) => ({ ml: 0, ms }));
  const cut = fc.constant({ ml: 0, ms: 0 });

  it('the day never counts less than was given in the last 24 hours of run time', () => {
    holds(
      fc.property(fc.array(fc.oneof(dose, time, cut), { maxLength: 80, size: 'max' }), (course) => {
        let state = emptyRunState();
        const saved = new Uint8Array(CHECKPOINT_BYTES);
        new CheckpointPacker().pack(state, saved);
        let nowMs = 0;
        const given: { atMs: number; ml: number }[] = [];
        for (const { ml, ms } of course) {
          if (ml > 0) {
            // As the tray does: charged and written down before the pump runs.
            charge(state.account, ml);
            new CheckpointPacker().pack(state, saved);
            given.push({ atMs: nowMs, ml });
          } else if (ms > 0) {
            passHours(state.account, ms);
            nowMs += ms;
          } else {
            state = emptyRunState();
            expect(unpackCheckpoint(saved, state)).toBe(true);
          }
          const lastDayMl = given
            .filter(({ atMs }) => nowMs - atMs <= DAY_MS)
            .reduce((sum, one) => sum + one.ml, 0);
          expect(state.account.dayMl).toBeGreaterThanOrEqual(lastDayMl - 1e-6);
        }
      }),
    );
  });
});
