import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  allowedMl as allowed,
  countsAs,
  fullCaps,
  type GivenMl,
  isWithinCaps,
} from '../../firmware/control/caps';
import { missingMl, type Need } from '../../firmware/control/need';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { trayAtDryBackG } from '../../shared/physics/dry-back';
import type { Stage } from '../../shared/profile/profile';
import { HOLD, WATERING, WEIGH } from '../base-profile';
import { holds } from '../properties';
import { WEIGHTS } from './readings';

/** Of a stage whose opening is over, unless told otherwise. */
function allowedMl(
  need: Need | null,
  stage: Stage | null,
  trayG: number,
  weights: typeof WEIGHTS,
  given: GivenMl,
  opened = true,
  spreadMl = 0,
): number {
  return allowed({ need, stage, opened, mlCountsAs: 1, spreadMl, trayG, ...weights }, given);
}

const NONE = { dayMl: 0, stageMl: 0 };
const dryTrayG = trayAtDryBackG(0.12, WEIGHTS);

describe('a cap', () => {
  it('is reached when the next dose would pass it, and not by the dose that fills it', () => {
    const { maxDayMl, maxStageMl } = WATERING;
    expect(fullCaps(40, WATERING, { dayMl: maxDayMl - 40, stageMl: maxStageMl - 40 })).toEqual({
      day: false,
      stage: false,
    });
    expect(fullCaps(40, WATERING, { dayMl: maxDayMl - 39, stageMl: 0 })).toEqual({
      day: true,
      stage: false,
    });
    expect(fullCaps(40, WATERING, { dayMl: 0, stageMl: maxStageMl - 39 })).toEqual({
      day: false,
      stage: true,
    });
  });

  it('gives no part of a dose: that would make it a set-point', () => {
    const given = { dayMl: WATERING.maxDayMl - 39, stageMl: 0 };
    expect(allowedMl('dry-back', WEIGH, dryTrayG, WEIGHTS, given)).toBe(0);
    const stage = { dayMl: 0, stageMl: WATERING.maxStageMl - 39 };
    expect(allowedMl('dry-back', WEIGH, dryTrayG, WEIGHTS, stage)).toBe(0);
  });
});

describe('a pump that seems to give less than its calibration', () => {
  it('has its doses counted by the calibration: the cap holds whichever of the two is right', () => {
    expect(countsAs(0.8)).toBe(1.25);
    expect(countsAs(1)).toBe(1);
    expect(countsAs(1.2)).toBe(1);
    const given = { dayMl: WATERING.maxDayMl - 45, stageMl: 0 };
    const wanted = { need: 'dry-back', stage: WEIGH, opened: true, trayG: dryTrayG } as const;
    const ml = (share: number) =>
      allowed({ ...wanted, ...WEIGHTS, mlCountsAs: countsAs(share), spreadMl: 0 }, given);
    expect(ml(1)).toBe(WATERING.doseMl);
    expect(ml(0.8)).toBe(0);
  });
});

describe('a dose that is about to be charged', () => {
  const planned = {
    reason: 'dry-back',
    ml: 40,
    stage: WEIGH,
    rescued: false,
    mlCountsAs: 1,
  } as const;

  it('keeps to the caps of its stage, in the measure of the pump', () => {
    const given = { dayMl: WATERING.maxDayMl - 45, stageMl: 0 };
    expect(isWithinCaps(planned, given)).toBe(true);
    expect(isWithinCaps({ ...planned, mlCountsAs: 1.25 }, given)).toBe(false);
    expect(isWithinCaps(planned, { dayMl: 0, stageMl: WATERING.maxStageMl - 39 })).toBe(false);
  });

  it('as a rescue is no larger than its own measure and given once, and no cap is asked', () => {
    const rescue = { ...planned, reason: 'rescue', stage: HOLD, ml: HOLD.rescue.doseMl } as const;
    const given = { dayMl: 60_000, stageMl: 60_000 };
    expect(isWithinCaps(rescue, given)).toBe(true);
    expect(isWithinCaps({ ...rescue, ml: HOLD.rescue.doseMl + 1 }, given)).toBe(false);
    expect(isWithinCaps({ ...rescue, rescued: true }, given)).toBe(false);
  });

  it('is none before sowing, and none by dry-back in a hold', () => {
    expect(isWithinCaps({ ...planned, stage: null }, NONE)).toBe(false);
    expect(isWithinCaps({ ...planned, reason: 'rescue', stage: null }, NONE)).toBe(false);
    expect(isWithinCaps({ ...planned, stage: HOLD }, NONE)).toBe(false);
  });
});

describe('the next dose', () => {
  it("is the stage's own, or what is missing to the stop share when that is less", () => {
    expect(allowedMl('dry-back', WEIGH, dryTrayG, WEIGHTS, NONE)).toBe(WATERING.doseMl);
    const nearlyG = trayAtDryBackG(WATERING.stopShare, WEIGHTS) - 25;
    expect(allowedMl('dry-back', WEIGH, nearlyG, WEIGHTS, NONE)).toBeCloseTo(25, 0);
  });

  it('in a hold is the rescue dose of the profile, and none by dry-back', () => {
    expect(allowedMl('rescue', HOLD, dryTrayG, WEIGHTS, NONE)).toBe(HOLD.rescue.doseMl);
    expect(allowedMl('dry-back', HOLD, dryTrayG, WEIGHTS, NONE)).toBe(0);
  });

  it('a stage opens with a whole one, wet as the tray is, if the wool can take most of it', () => {
    const opening = { ...WEIGH, opening: { byS: 0, stopShare: 0.02 } };
    const full = WEIGHTS.capacityG;
    expect(allowedMl('opening', opening, full, WEIGHTS, NONE, false)).toBe(WATERING.doseMl);
    const brimG = trayAtDryBackG(-WEIGHT_LIMITS.overfillShare, WEIGHTS);
    expect(allowedMl('opening', opening, brimG - 25, WEIGHTS, NONE, false)).toBeCloseTo(25, 0);
    expect(allowedMl('opening', opening, brimG - 15, WEIGHTS, NONE, false)).toBe(0);
    expect(allowedMl('opening', opening, full, WEIGHTS, NONE)).toBe(0);
  });

  it('is never too small to reach every piece: it goes past the stop share, not past capacity', () => {
    const mostG = (share: number) => trayAtDryBackG(share, WEIGHTS);
    const ml = (trayG: number) =>
      allowedMl('dry-back', WEIGH, trayG, WEIGHTS, NONE, true, WATERING.doseMl);
    expect(ml(mostG(WATERING.stopShare) - 25)).toBe(WATERING.doseMl);
    expect(ml(mostG(0) - 25)).toBe(0);
    const opening = { ...WEIGH, opening: { byS: 0, stopShare: 0.02 } };
    const brimG = mostG(-WEIGHT_LIMITS.overfillShare);
    const opens = (trayG: number) =>
      allowedMl('opening', opening, trayG, WEIGHTS, NONE, false, WATERING.doseMl);
    expect(opens(brimG - 25)).toBe(0);
    expect(opens(brimG - 45)).toBe(WATERING.doseMl);
  });

  it('is none without a need, and none without a stage', () => {
    expect(allowedMl(null, WEIGH, dryTrayG, WEIGHTS, NONE)).toBe(0);
    expect(allowedMl('dry-back', null, dryTrayG, WEIGHTS, NONE)).toBe(0);
    expect(allowedMl('rescue', null, dryTrayG, WEIGHTS, NONE)).toBe(0);
  });
});

describe('whatever is wanted, of whatever tray', () => {
  const ml = fc.double({ min: 0, max: 2_000, noNaN: true });
  const anyWatering = fc.record({
    startShare: fc.constant(0.1),
    stopShare: fc.double({ min: 0.01, max: 0.09, noNaN: true }),
    doseMl: fc.double({ min: 2, max: 700, noNaN: true }),
    soakInS: fc.constant(300),
    maxDayMl: ml,
    maxStageMl: ml,
  });
  const grams = fc.oneof(fc.double({ min: 0, max: 6_000, noNaN: true }), fc.constant(Number.NaN));

  it('what was given and what is allowed together never exceed a cap', () => {
    holds(
      fc.property(anyWatering, grams, ml, ml, (watering, trayG, dayMl, stageMl) => {
        const stage = { ...WEIGH, watering };
        const given = { dayMl, stageMl };
        const openingMl = allowedMl('opening', stage, trayG, WEIGHTS, given, false);
        expect(openingMl === 0 || dayMl + openingMl <= watering.maxDayMl).toBe(true);
        expect(openingMl === 0 || stageMl + openingMl <= watering.maxStageMl).toBe(true);
        const ml = allowedMl('dry-back', stage, trayG, WEIGHTS, given);
        if (!(ml > 0)) return;
        expect(dayMl + ml).toBeLessThanOrEqual(watering.maxDayMl);
        expect(stageMl + ml).toBeLessThanOrEqual(watering.maxStageMl);
        expect(ml).toBeLessThanOrEqual(watering.doseMl);
        expect(ml).toBeLessThanOrEqual(missingMl(watering.stopShare, trayG, WEIGHTS));
      }),
    );
  });

  it('what is allowed may be charged, for whatever reason and by whatever pump', () => {
    const need = fc.constantFrom<Need>('dry-back', 'opening', 'rescue');
    const share = fc.double({ min: 0.6, max: 1.4, noNaN: true });
    const opening = { byS: 0, stopShare: 0.005 };
    holds(
      fc.property(
        anyWatering,
        grams,
        ml,
        ml,
        need,
        share,
        (watering, trayG, dayMl, stageMl, reason, of) => {
          const stage = { ...WEIGH, watering, opening, rescue: HOLD.rescue };
          const mlCountsAs = countsAs(of);
          const given = { dayMl, stageMl };
          const wanted = { need: reason, stage, opened: false, mlCountsAs, spreadMl: 0, trayG };
          const allowedNow = allowed({ ...wanted, ...WEIGHTS }, given);
          if (!(allowedNow > 0)) return;
          const planned = { reason, ml: allowedNow, stage, rescued: false, mlCountsAs };
          expect(isWithinCaps(planned, given)).toBe(true);
        },
      ),
    );
  });

  it('doses one after the other fill a cap to less than a dose, and never pass it', () => {
    holds(
      fc.property(anyWatering, grams, (watering, trayG) => {
        const stage = { ...WEIGH, watering };
        const given = { dayMl: 0, stageMl: 0 };
        for (let i = 0; i < 1_001; i++) {
          const ml = allowedMl('dry-back', stage, trayG, WEIGHTS, given);
          if (!(ml > 0)) break;
          given.dayMl += ml;
          given.stageMl += ml;
        }
        expect(given.dayMl).toBeLessThanOrEqual(Math.min(watering.maxDayMl, watering.maxStageMl));
      }),
    );
  });
});

describe('whatever was given', () => {
  it('fills a cap for good, for a larger dose all the more, and the cap of a day is not that of a stage', () => {
    const ml = fc.integer({ min: 0, max: 1_500 });
    holds(
      fc.property(ml, ml, ml, ml, (doseMl, dayMl, stageMl, moreMl) => {
        const full = fullCaps(doseMl, WATERING, { dayMl, stageMl });
        const more = fullCaps(doseMl, WATERING, { dayMl: dayMl + moreMl, stageMl });
        const larger = fullCaps(doseMl + moreMl, WATERING, { dayMl, stageMl });
        expect(more.stage).toBe(full.stage);
        for (const later of [more, larger]) if (full.day) expect(later.day).toBe(true);
        if (full.stage) expect(larger.stage).toBe(true);
        if (!full.day) expect(dayMl + doseMl).toBeLessThanOrEqual(WATERING.maxDayMl);
        // A dose that was given in time leaves the cap full or not as two halves of it do.
        if (!full.day)
          expect(fullCaps(doseMl / 2, WATERING, { dayMl: dayMl + doseMl / 2, stageMl }).day).toBe(
            false,
          );
      }),
    );
  });
});
