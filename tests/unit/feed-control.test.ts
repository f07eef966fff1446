import { describe, expect, it } from 'vitest';
import { feedWaitMs, isOtherFeed, isTooLittleForDose, saltsMg } from '../../firmware/control/feed';
import { DAY_MS } from '../../shared/units/time';
import { HOLD, WATERING, WEIGH } from '../base-profile';

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
