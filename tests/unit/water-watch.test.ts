import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { type WaterFacts, WaterWatch } from '../../firmware/guard/water-watch';
import { HELD_REASONS } from '../../shared/link/held';
import { DAY_MS, MINUTE_MS } from '../../shared/units/time';
import { HOLD, PROFILE, WATERING, WEIGH } from '../base-profile';
import { holds } from '../properties';
import { found, said } from './findings';
import { readings } from './readings';

const NOW_MS = Date.UTC(2026, 2, 1);

/** A tray that is watered by weight, with all it needs. */
const FACTS: WaterFacts = {
  profile: PROFILE,
  profileId: 1,
  stage: WEIGH,
  sown: true,
  given: { dayMl: 0, stageMl: 0 },
  mlCountsAs: 1,
  leftMl: PROFILE.reservoirMl,
  otherFeed: false,
  feedEc: Number.NaN,
  cycling: false,
  dosing: false,
  capacityKnown: true,
  heldFor: null,
  heldBeforeMs: 0,
  stageRunMs: 0,
  opened: true,
  calibrations: {
    nowUnixMs: NOW_MS,
    pumpUnixMs: NOW_MS,
    scaleUnixMs: NOW_MS,
  },
  pump: { share: 1, scatter: 0.02 },
};
const calibrated = (change: Partial<WaterFacts['calibrations']>): Partial<WaterFacts> => ({
  calibrations: { ...FACTS.calibrations, ...change },
});

/** What one minute finds. */
const minute = (change: Partial<WaterFacts>, watch = new WaterWatch(), share = 0.05) =>
  watch.minute(readings({ dryBackShare: share }), { ...FACTS, ...change }, MINUTE_MS);

describe('a tray with all it needs', () => {
  it('gives nothing to find', () => {
    expect(found(minute({}))).toEqual([]);
  });
});

describe('a cap', () => {
  const dayFull = { dayMl: WATERING.maxDayMl, stageMl: 0 };
  const stageFull = { dayMl: 0, stageMl: WATERING.maxStageMl };

  it('that keeps water from a tray that wants it is an alarm, with what was given and the cap', () => {
    expect(minute({ cycling: true, given: dayFull })).toContainEqual({
      alarm: 'day-cap-reached',
      is: 'present',
      value: WATERING.maxDayMl,
      limit: WATERING.maxDayMl,
    });
    expect(found(minute({ cycling: true, given: stageFull }))).toEqual(['stage-cap-reached']);
  });

  it('that is full while nothing is wanted is none', () => {
    expect(found(minute({ given: dayFull }))).toEqual([]);
  });

  it('once found stays so without a cycle, until the window has passed or the stage is another', () => {
    const watch = new WaterWatch();
    minute({ cycling: true, given: dayFull }, watch);
    expect(found(minute({ given: dayFull }, watch))).toEqual(['day-cap-reached']);
    expect(said(minute({}, watch), 'day-cap-reached')).toBe('absent');
    minute({ cycling: true, given: stageFull }, watch);
    expect(said(minute({ stage: HOLD, given: stageFull }, watch), 'stage-cap-reached')).toBe(
      'absent',
    );
  });

  it('is not judged while the dose that fills it is under way', () => {
    expect(said(minute({ cycling: true, dosing: true, given: dayFull }), 'day-cap-reached')).toBe(
      null,
    );
  });
});

describe('the reservoir', () => {
  it('is low below a tenth of its size', () => {
    const lowMl = PROFILE.reservoirMl * GUARD_LIMITS.reservoirLowShare;
    expect(found(minute({ leftMl: lowMl }))).toEqual([]);
    expect(found(minute({ leftMl: lowMl - 1 }))).toEqual(['reservoir-low']);
  });

  it('is low below two doses, where those are more than a tenth', () => {
    const profile = { ...PROFILE, reservoirMl: 500 };
    expect(found(minute({ profile, leftMl: 2 * WATERING.doseMl }))).toEqual([]);
    expect(found(minute({ profile, leftMl: 2 * WATERING.doseMl - 1 }))).toEqual(['reservoir-low']);
    expect(said(minute({ profile }), 'reservoir-low')).toBe('absent');
    expect(said(minute({ leftMl: null }), 'reservoir-low')).toBe('absent');
  });
});

describe('dryness', () => {
  const MINUTES = GUARD_LIMITS.tooDryMs / MINUTE_MS;
  const { share } = HOLD.rescue;
  const dry = (watch: WaterWatch, dryBack: number, minutes = 1) => {
    let is: ReturnType<typeof said> = null;
    for (let i = 0; i < minutes; i++) is = said(minute({ stage: HOLD }, watch, dryBack), 'too-dry');
    return is;
  };

  it('is an alarm when it has lasted ten minutes at the rescue share', () => {
    const watch = new WaterWatch();
    expect(dry(watch, share, MINUTES - 1)).toBe('absent');
    expect(dry(watch, share)).toBe('present');
  });

  it('that breaks off for a minute begins anew', () => {
    const watch = new WaterWatch();
    dry(watch, share, MINUTES - 1);
    dry(watch, share - 0.001);
    expect(dry(watch, share, MINUTES - 1)).toBe('absent');
  });

  it('once an alarm stays one until the tray is clearly wetter', () => {
    const watch = new WaterWatch();
    dry(watch, share, MINUTES);
    const backAt = share - GUARD_LIMITS.tooDryHysteresisShare;
    expect(dry(watch, backAt + 0.001)).toBe('present');
    expect(dry(watch, backAt - 0.001)).toBe('absent');
    expect(dry(watch, backAt + 0.001, MINUTES)).toBe('absent');
  });

  it('of a tray in doubt is not spoken of, and has to last anew afterwards', () => {
    const watch = new WaterWatch();
    dry(watch, share, MINUTES - 1);
    expect(dry(watch, Number.NaN)).toBe(null);
    expect(dry(watch, share, MINUTES - 1)).toBe('absent');
    expect(dry(watch, share)).toBe('present');
  });

  it('is over when the crop is: a tray that is not sown is not dry', () => {
    const watch = new WaterWatch();
    dry(watch, share, MINUTES);
    expect(said(minute({ stage: null, sown: false }, watch, share), 'too-dry')).toBe('absent');
    expect(dry(watch, share, MINUTES - 1)).toBe('absent');
  });

  it('over any course is no alarm sooner than ten minutes of it, and none clearly below the share', () => {
    const course = fc.array(fc.double({ min: share - 0.06, max: share + 0.03 }), {
      maxLength: 120,
      size: 'max',
    });
    holds(
      fc.property(course, (shares) => {
        const watch = new WaterWatch();
        let dryMin = 0;
        let alarmed = false;
        for (const dryBack of shares) {
          dryMin = dryBack >= share ? dryMin + 1 : 0;
          const is = dry(watch, dryBack);
          if (!alarmed && is === 'present') expect(dryMin).toBeGreaterThanOrEqual(MINUTES);
          if (dryBack < share - GUARD_LIMITS.tooDryHysteresisShare) expect(is).toBe('absent');
          if (is !== null) alarmed = is === 'present';
        }
      }),
    );
  });
});

describe('what dosing cannot do without', () => {
  it('is a calibrated pump, a calibrated scale and a known capacity, in a stage that waters', () => {
    for (const change of [
      calibrated({ pumpUnixMs: null }),
      calibrated({ scaleUnixMs: null }),
      { capacityKnown: false },
    ]) {
      const watch = new WaterWatch();
      // What was split or moved on is soaked and drains before it is marked.
      const minutes = GUARD_LIMITS.weightsDrainMs / MINUTE_MS;
      for (let i = 0; i < minutes; i++) expect(found(minute(change, watch))).toEqual([]);
      expect(found(minute(change, watch))).toEqual(['calibration-missing']);
      expect(found(minute({ ...change, stage: HOLD }))).toEqual([]);
    }
  });

  it('is a profile, once the tray is sown', () => {
    const none = { profile: null, stage: null };
    expect(found(minute(none))).toEqual(['profile-missing']);
    expect(found(minute({ ...none, sown: false }))).toEqual([]);
  });

  it('grows old: the scale by the calendar; the pump is weighed by each of its doses', () => {
    const old = (change: Partial<WaterFacts['calibrations']>) => found(minute(calibrated(change)));
    const { scaleCalibrationMaxMs } = GUARD_LIMITS;
    expect(old({ pumpUnixMs: NOW_MS - 2 * scaleCalibrationMaxMs })).toEqual([]);
    expect(old({ scaleUnixMs: NOW_MS - scaleCalibrationMaxMs })).toEqual([]);
    expect(old({ scaleUnixMs: NOW_MS - scaleCalibrationMaxMs - 1 })).toEqual(['calibration-old']);
  });

  it('is asked for within half a day in a hold too', () => {
    const watch = new WaterWatch();
    const facts = { stage: HOLD, capacityKnown: false };
    const minutes = GUARD_LIMITS.weightsUnknownMs / MINUTE_MS;
    for (let i = 0; i < minutes; i++) expect(found(minute(facts, watch))).toEqual([]);
    expect(found(minute(facts, watch))).toEqual(['calibration-missing']);
  });

  it('is of no age while the clock, now or then, is unknown', () => {
    const longAgo = NOW_MS - 900 * DAY_MS;
    const then = { pumpUnixMs: longAgo, scaleUnixMs: longAgo };
    expect(found(minute(calibrated({ ...then, nowUnixMs: Number.NaN })))).toEqual([]);
    expect(found(minute(calibrated({ pumpUnixMs: 0, scaleUnixMs: 0 })))).toEqual([]);
  });
});

describe('water that does not come', () => {
  it('for half a day, held by what is no alarm, is one', () => {
    const watch = new WaterWatch();
    const facts = { heldFor: 'handling' } as const;
    const minutes = GUARD_LIMITS.waterHeldMs / MINUTE_MS;
    for (let i = 1; i < minutes; i++) expect(found(minute(facts, watch))).toEqual([]);
    expect(found(minute(facts, watch))).toEqual(['water-held']);
    expect(said(minute({}, watch), 'water-held')).toBe('absent');
    for (let i = 0; i < 2 * minutes; i++) {
      expect(found(minute({ ...facts, stage: HOLD }, watch))).toEqual([]);
    }
  });

  it('says what holds it', () => {
    const watch = new WaterWatch();
    for (let i = 1; i < GUARD_LIMITS.waterHeldMs / MINUTE_MS; i++) {
      minute({ heldFor: 'handling' }, watch);
    }
    expect(minute({ heldFor: 'scale' }, watch)).toContainEqual({
      alarm: 'water-held',
      is: 'present',
      value: HELD_REASONS.indexOf('scale'),
      limit: Number.NaN,
    });
  });

  it('and was an alarm before a restart is one again in minutes, unless water is free meanwhile', () => {
    const foundIn = (...held: readonly boolean[]) => {
      const watch = new WaterWatch();
      const heldFor = (is: boolean) => (is ? 'handling' : null);
      return held.map(
        (is) =>
          found(minute({ heldBeforeMs: Number.POSITIVE_INFINITY, heldFor: heldFor(is) }, watch))
            .length,
      );
    };
    expect(foundIn(true, true, true, true)).toEqual([0, 0, 0, 1]);
    expect(foundIn(true, false, true, true, true, true)).toEqual([0, 0, 0, 0, 0, 0]);
    expect(GUARD_LIMITS.heldAgainMs).toBeLessThan(GUARD_LIMITS.recallMs);
  });

  it('by the latest day of the first feed and half a day more is late, until the stage has opened', () => {
    const stage = { ...WEIGH, opening: { byS: 86_400, stopShare: 0.02 } };
    const late = DAY_MS + GUARD_LIMITS.feedLateMs;
    const at = (stageRunMs: number, opened: boolean) =>
      found(minute({ stage, stageRunMs, opened }));
    expect(at(late, false)).toEqual([]);
    expect(at(late + 1, false)).toEqual(['feed-late']);
    expect(at(late + 1, true)).toEqual([]);
  });
});

describe('a pump that gives other than calibrated', () => {
  const off = (share: number, scatter: number, watch = new WaterWatch()) =>
    said(minute({ pump: { share, scatter } }, watch), 'pump-off') === 'present';

  it('is said at 80 %, while its doses are still seen, and at a wider tube', () => {
    expect(off(0.8, 0.02)).toBe(true);
    expect(off(1.2, 0.02)).toBe(true);
    expect(off(0.9, 0.02)).toBe(false);
  });

  it('is said when doses differ much from one to the next', () => {
    expect(off(1, 0.15)).toBe(true);
    expect(off(1, 0.1)).toBe(false);
  });

  it('does not come and go at the limit', () => {
    const watch = new WaterWatch();
    expect(off(0.84, 0.02, watch)).toBe(true);
    expect(off(0.86, 0.02, watch)).toBe(true);
    expect(off(0.89, 0.02, watch)).toBe(false);
    expect(off(0.86, 0.02, watch)).toBe(false);
  });
});
