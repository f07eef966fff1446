import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  aged,
  believedOutageMs,
  isAnotherOutage,
  waterGoingBack,
} from '../../firmware/control/outage';
import { RECORD_LIMITS } from '../../firmware/limits';
import { WRONG_CLOCK_MS } from '../../shared/journal/clock';
import { DAY_MS, DAY_S } from '../../shared/units/time';
import { HOLD, PROFILE } from '../base-profile';
import { holds } from '../properties';

describe('what a clock tells of the time before a start', () => {
  it('is believed up to a week: a later date is wrong, and ages nothing', () => {
    const { outageMaxMs } = RECORD_LIMITS;
    expect(believedOutageMs(0)).toBe(0);
    expect(believedOutageMs(outageMaxMs)).toBe(outageMaxMs);
    expect(believedOutageMs(outageMaxMs + 1)).toBe(0);
  });

  it('is another outage when it differs by minutes, one way or the other', () => {
    expect(isAnotherOutage(WRONG_CLOCK_MS - 1, 0)).toBe(false);
    expect(isAnotherOutage(WRONG_CLOCK_MS, 0)).toBe(true);
    expect(isAnotherOutage(0, WRONG_CLOCK_MS)).toBe(true);
  });
});

describe('a tray that only ages', () => {
  const hold = { ...HOLD, end: { afterS: 2 * 86_400, mark: null } };
  const profile = { ...PROFILE, stages: [hold, hold, { ...hold, end: { afterS: 0, mark: null } }] };
  const young = { state: { index: 0, runMs: DAY_MS, staying: false }, sinceEmergedMs: Number.NaN };

  it('is so much later in its stage, or in the one that it would have come to', () => {
    expect(aged(young, DAY_MS / 2, profile).state).toEqual({ ...young.state, runMs: 1.5 * DAY_MS });
    expect(aged(young, 2 * DAY_MS, profile).state).toMatchObject({ index: 1, runMs: DAY_MS });
    expect(aged(young, 9 * DAY_MS, profile).state).toMatchObject({ index: 2, runMs: 6 * DAY_MS });
  });

  it('stays where the grower has said that it stays', () => {
    const state = { ...young.state, staying: true };
    const later = { ...state, runMs: 10 * DAY_MS };
    expect(aged({ ...young, state }, 9 * DAY_MS, profile).state).toEqual(later);
  });

  it('has come up when the stage has ended in which it does, and not before', () => {
    const [first, ...others] = profile.stages;
    if (first === undefined) throw new Error('no stage');
    const emerging = { ...first, end: { afterS: 2 * 86_400, mark: 'emerged' as const } };
    const sown = { ...profile, stages: [emerging, ...others] };
    expect(aged(young, DAY_MS / 2, sown).sinceEmergedMs).toBeNaN();
    expect(aged(young, 2 * DAY_MS, sown).sinceEmergedMs).toBeGreaterThanOrEqual(0);
    const up = { ...young, sinceEmergedMs: DAY_MS };
    expect(aged(up, 2 * DAY_MS, sown).sinceEmergedMs).toBe(3 * DAY_MS);
  });
});

describe('a stage that a later clock leads back to', () => {
  it('keeps what was given meanwhile: it had its rescue by it, and opened with it', () => {
    expect(waterGoingBack(0.5)).toEqual({ stageMl: 0.5, rescued: true, opened: true });
  });

  it('has had nothing where nothing was given', () => {
    expect(waterGoingBack(0)).toEqual({ stageMl: 0, rescued: false, opened: false });
  });
});

describe('over any outages', () => {
  const ms = fc.nat(20 * DAY_S * 1_000);
  /** 0: a stage that no time ends. */
  const lengths = fc.array(fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 9 * DAY_S })), {
    minLength: 1,
    maxLength: 6,
  });

  it('two in a row age a tray as one of both does: no time is lost at the end of a stage', () => {
    holds(
      fc.property(lengths, ms, ms, fc.boolean(), (afterS, firstMs, secondMs, staying) => {
        const stages = afterS.map((s) => ({ ...HOLD, end: { afterS: s, mark: null } }));
        const profile = { ...PROFILE, stages };
        const sown = { state: { index: 0, runMs: 0, staying }, sinceEmergedMs: 0 };
        const once = aged(sown, firstMs + secondMs, profile);
        expect(aged(aged(sown, firstMs, profile), secondMs, profile)).toEqual(once);
        expect(once.sinceEmergedMs).toBe(firstMs + secondMs);
        expect(once.state.index).toBeLessThan(stages.length);
      }),
    );
  });

  it('a stage that a clock leads back to has had all that was given, and either all of its water or none', () => {
    holds(
      fc.property(
        fc.double({ min: 0, max: 9_000, noNaN: true }),
        fc.nat(900),
        (stageMl, moreMl) => {
          const back = waterGoingBack(stageMl);
          expect(back.stageMl).toBe(stageMl);
          // In doubt it gives no rescue and no opening twice.
          expect(back.rescued).toBe(back.opened);
          if (back.rescued) expect(waterGoingBack(stageMl + moreMl).rescued).toBe(true);
          if (!back.rescued) expect(stageMl).toBe(0);
        },
      ),
    );
  });

  it('a clock is believed wholly or not at all, and two differ whichever was the first', () => {
    holds(
      fc.property(ms, ms, (one, other) => {
        expect([one, 0]).toContain(believedOutageMs(one));
        expect(believedOutageMs(one)).toBeLessThanOrEqual(RECORD_LIMITS.outageMaxMs);
        expect(isAnotherOutage(one, other)).toBe(isAnotherOutage(other, one));
      }),
    );
  });
});
