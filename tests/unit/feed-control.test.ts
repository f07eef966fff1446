import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { feedWaitMs, isOtherFeed, isTooLittleForDose, saltsMg } from '../../firmware/control/feed';
import { DAY_MS } from '../../shared/units/time';
import { HOLD, WATERING, WEIGH } from '../base-profile';
import { holds } from '../properties';
import { anyProfile } from './any-profile';

describe('the feed in the reservoir', () => {
  it('is the one a stage wants within what a meter can tell', () => {
    expect(isOtherFeed(0.9, 0.8)).toBe(false);
    expect(isOtherFeed(1.0, 0.8)).toBe(true);
    expect(isOtherFeed(0.5, 0.8)).toBe(true);
    expect(isOtherFeed(2.2, 2)).toBe(false);
  });

  it('is no other feed while nobody has measured it, nor where the stage wants none', () => {
    expect(isOtherFeed(Number.NaN, 0.8)).toBe(false);
    expect(isOtherFeed(1.5, 0)).toBe(false);
  });

  it('of the wrong strength is waited out for a day, and then what there is is given', () => {
    expect(feedWaitMs(0, Number.NaN)).toBe(DAY_MS);
    expect(feedWaitMs(DAY_MS - 1, Number.NaN)).toBe(1);
    expect(feedWaitMs(DAY_MS, Number.NaN)).toBe(0);
  });

  it('filled in by mistake in the middle of a stage is waited out for a day as well', () => {
    expect(feedWaitMs(5 * DAY_MS, DAY_MS - 1)).toBe(1);
    expect(feedWaitMs(5 * DAY_MS, DAY_MS)).toBe(0);
    // An older refill is no reason to wait for a shorter time than the stage does.
    expect(feedWaitMs(DAY_MS / 2, 9 * DAY_MS)).toBe(DAY_MS / 2);
  });

  it('explains a dose that did not come when it is less than the stage could have wanted', () => {
    expect(isTooLittleForDose(WATERING.doseMl - 1, WEIGH)).toBe(true);
    expect(isTooLittleForDose(WATERING.doseMl, WEIGH)).toBe(false);
    expect(isTooLittleForDose(HOLD.rescue.doseMl - 1, HOLD)).toBe(true);
    expect(isTooLittleForDose(HOLD.rescue.doseMl, HOLD)).toBe(false);
  });

  it('explains nothing while nobody has said what is in it, nor before sowing', () => {
    expect(isTooLittleForDose(null, WEIGH)).toBe(false);
    expect(isTooLittleForDose(0, null)).toBe(false);
  });

  it('of EC 1.0 carries 640 mg of salts a litre, the middle of the scales that meters show', () => {
    expect(saltsMg(1_000, 1)).toBeCloseTo(640);
    expect(saltsMg(200, 0.5)).toBeCloseTo(64);
  });
});

describe('over all feeds and stages', () => {
  const ec = fc.integer({ min: 0, max: 500 }).map((hundredths) => hundredths / 100);
  const ms = fc.nat(3 * DAY_MS);
  const sinceFilled = fc.oneof(ms, fc.constant(Number.NaN));

  it('what a meter reads a tenth off is never other feed, half or twice as strong always, and what is further off no less', () => {
    holds(
      fc.property(ec, ec, ec, (wantedEc, offEc, moreEc) => {
        for (const way of [-1, 1]) {
          expect(isOtherFeed(wantedEc + way * 0.1, wantedEc)).toBe(false);
          const nearer = isOtherFeed(wantedEc + way * offEc, wantedEc);
          const further = isOtherFeed(wantedEc + way * (offEc + moreEc), wantedEc);
          if (nearer) expect(further).toBe(true);
        }
        // No meter tells the half of 0.3 mS/cm from it.
        if (wantedEc <= 0.3) return;
        expect(isOtherFeed(wantedEc / 2, wantedEc)).toBe(true);
        expect(isOtherFeed(wantedEc * 2, wantedEc)).toBe(true);
      }),
    );
  });

  it('a stage waits for a day from its start or its refill, the later of both, and then no more', () => {
    holds(
      fc.property(ms, sinceFilled, (runMs, filledMs) => {
        const waitMs = feedWaitMs(runMs, filledMs);
        expect(waitMs).toBeGreaterThanOrEqual(0);
        expect(waitMs).toBeLessThanOrEqual(DAY_MS);
        expect(waitMs).toBeGreaterThanOrEqual(feedWaitMs(runMs, Number.NaN));
        if (!Number.isNaN(filledMs))
          expect(waitMs).toBeGreaterThanOrEqual(feedWaitMs(filledMs, Number.NaN));
        expect(feedWaitMs(runMs + waitMs, filledMs + waitMs)).toBe(0);
        if (waitMs > 0)
          expect(feedWaitMs(runMs + waitMs - 1, filledMs + waitMs - 1)).toBeGreaterThan(0);
      }),
    );
  });

  it('a reservoir explains a dose that did not come where one of the stage is more than it holds, and nowhere else', () => {
    holds(
      fc.property(anyProfile, fc.nat(1_000), ({ stages }, leftMl) => {
        for (const stage of stages) {
          const dosesMl = [stage.watering?.doseMl ?? 0, stage.rescue.doseMl];
          const lacks = dosesMl.some((ml) => leftMl < ml);
          expect(isTooLittleForDose(leftMl, stage)).toBe(lacks);
        }
      }),
    );
  });

  it('a feed given in two doses carries the salts of one', () => {
    holds(
      fc.property(fc.nat(5_000), fc.nat(5_000), ec, (ml, moreMl, ofEc) => {
        const together = saltsMg(ml + moreMl, ofEc);
        expect(saltsMg(ml, ofEc) + saltsMg(moreMl, ofEc)).toBeCloseTo(together, 6);
      }),
    );
  });
});
