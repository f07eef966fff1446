import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { afterHand, hasBeenPoured, isRebooked } from '../../firmware/control/hand-watering';
import { type Ledger, type StepKind, takenFor } from '../../firmware/control/ledger';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { anyLedger, step } from './any-ledger';

const { handlingG, mistG, drainMs, mistDrainMs } = WEIGHT_LIMITS;
/** Soaked days ago: it has long drained. */
const SOAKED_MS = 3 * DAY_MS;
const hand = (roseG: number, sinceWateredMs = DAY_MS, gentle = false, sinceSoakedMs = SOAKED_MS) =>
  afterHand(sinceSoakedMs, sinceWateredMs, { roseG, gentle });

describe('a hand that is over', () => {
  it('and left the tray heavier by more than 15 g has watered it: it drains from now on', () => {
    expect(hand(handlingG + 0.1)).toEqual({ sinceWateredMs: 0, watered: true });
    expect(hand(handlingG)).toMatchObject({ watered: false });
  });

  it('and left a little more has misted it, which has run off an hour sooner', () => {
    expect(hand(mistG + 0.1)).toEqual({ sinceWateredMs: drainMs - mistDrainMs, watered: false });
    expect(hand(handlingG).sinceWateredMs).toBe(drainMs - mistDrainMs);
  });

  it('and misted a tray that was watered lately makes it drain no longer than it did', () => {
    expect(hand(mistG + 0.1, MINUTE_MS).sinceWateredMs).toBe(MINUTE_MS);
  });

  it('and left it as heavy as it was, or lighter, has watered nothing', () => {
    for (const roseG of [mistG, 0, -350, Number.NaN]) {
      expect(hand(roseG)).toEqual({ sinceWateredMs: DAY_MS, watered: false });
    }
  });

  it('was none where a tray that drains still moved gently: it drains on', () => {
    expect(hand(-40, HOUR_MS, true).watered).toBe(true);
    expect(hand(-40, DAY_MS, true, HOUR_MS).watered).toBe(true);
    expect(hand(-40, DAY_MS, true).watered).toBe(false);
    expect(hand(-40, HOUR_MS, false).watered).toBe(false);
  });

  it('never makes the last water older, and what rose more is not watered less', () => {
    const ms = fc.oneof(fc.nat(2 * drainMs), fc.constant(Number.POSITIVE_INFINITY));
    const grams = fc.double({ min: -500, max: 500, noNaN: true });
    holds(
      fc.property(ms, ms, grams, grams, fc.boolean(), (soakedMs, wateredMs, a, b, gentle) => {
        const [less, more] = [Math.min(a, b), Math.max(a, b)].map((roseG) =>
          afterHand(soakedMs, wateredMs, { roseG, gentle }),
        );
        if (less === undefined || more === undefined) throw new Error('two hands');
        expect(less.sinceWateredMs).toBeLessThanOrEqual(wateredMs);
        expect(more.sinceWateredMs).toBeLessThanOrEqual(less.sinceWateredMs);
        if (less.watered) expect(more.watered).toBe(true);
      }),
    );
  });
});

const ledger = (...steps: [StepKind, number][]): Ledger =>
  steps.map(([kind, stepG]) => ({ kind, stepG, afterG: 4_000, atMs: 0 }));

describe('a thing that shows to have been water', () => {
  const thing = ledger(['on', 300]);
  const water = ledger(['water', 300]);

  it('was poured, and is no rise of the weight', () => {
    expect(hasBeenPoured(thing, water)).toBe(true);
    expect(isRebooked(thing, water)).toBe(true);
  });

  it('is not what was water all along, nor a thing put on beside it, nor water taken for a thing', () => {
    expect(hasBeenPoured(water, water)).toBe(false);
    expect(isRebooked(water, water)).toBe(false);
    expect(hasBeenPoured(water, ledger(['water', 300], ['on', 300]))).toBe(false);
    expect(hasBeenPoured(water, thing)).toBe(false);
    expect(isRebooked(water, thing)).toBe(true);
  });

  it('drains only from as much on as a hand pours', () => {
    expect(hasBeenPoured([], ledger(['water', handlingG]))).toBe(false);
    expect(hasBeenPoured([], ledger(['water', handlingG + 0.1]))).toBe(true);
  });
});

describe('over any ledgers', () => {
  it('water was poured in one of two at most, and what is no thing in either rebooks nothing', () => {
    holds(
      fc.property(anyLedger, anyLedger, fc.integer({ min: 16, max: 900 }), (before, now, moreG) => {
        const [there, back] = [hasBeenPoured(before, now), hasBeenPoured(now, before)];
        expect(there && back).toBe(false);
        expect(isRebooked(before, now)).toBe(isRebooked(now, before));
        // Water that comes is poured, and rebooks nothing; the same taken for a thing does, and is none poured.
        const water = step('water', moreG);
        expect(hasBeenPoured(before, [...before, water])).toBe(true);
        expect(isRebooked(before, [...before, water])).toBe(false);
        const thing = takenFor([...before, water], [water], 'on');
        expect(isRebooked([...before, water], thing)).toBe(true);
        expect(hasBeenPoured(before, thing)).toBe(false);
      }),
    );
  });
});
