import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bandNow, heatingBand, isTriedByHand } from '../../firmware/control/band';
import { HEAT_LIMITS } from '../../firmware/limits';
import { LIMITER } from '../../shared/board/map';
import { temperatureFromCode } from '../../shared/physics/ntc';
import { HOLD } from '../base-profile';
import { holds } from '../properties';

const NIGHT = { startMin: 1_320, endMin: 360 };
const WITH_NIGHT = { ...HOLD, nightBand: { lowC: 20, highC: 21 } };

describe('the band in force', () => {
  it("is the stage's own by day and its night band by night, past midnight too", () => {
    const at = (minute: number) => bandNow(WITH_NIGHT, NIGHT, minute);
    expect([1_319, 1_320, 0, 359, 360].map(at)).toEqual([
      WITH_NIGHT.band,
      WITH_NIGHT.nightBand,
      WITH_NIGHT.nightBand,
      WITH_NIGHT.nightBand,
      WITH_NIGHT.band,
    ]);
  });

  it('is the one of the day while the time of day is unknown: too warm a night harms less', () => {
    expect(bandNow(WITH_NIGHT, NIGHT, null)).toBe(WITH_NIGHT.band);
  });

  it('is none before sowing, at any hour', () => {
    expect(bandNow(null, NIGHT, 0)).toBe(null);
    expect(bandNow(null, null, null)).toBe(null);
  });

  it('is the one of the day at every minute where stage or profile has no night', () => {
    holds(
      fc.property(fc.integer({ min: 0, max: 1_439 }), (minute) => {
        expect(bandNow(HOLD, NIGHT, minute)).toBe(HOLD.band);
        expect(bandNow(WITH_NIGHT, null, minute)).toBe(WITH_NIGHT.band);
      }),
    );
  });
});

describe('a mat that is tried by hand', () => {
  it('is so until its time is over, and no longer than no crop stands', () => {
    expect(isTriedByHand(null, 60_000, 59_999)).toBe(true);
    expect(isTriedByHand(null, 60_000, 60_000)).toBe(false);
    expect(isTriedByHand(HOLD, 60_000, 0)).toBe(false);
  });

  it('heats by a band of its own, warmer than any room and colder than the limiter cuts off', () => {
    const { byHandBand } = HEAT_LIMITS;
    expect(heatingBand(null, true)).toBe(byHandBand);
    expect(byHandBand.lowC).toBeGreaterThan(30);
    expect(byHandBand.lowC).toBeLessThan(byHandBand.highC);
    const cutsOffC = temperatureFromCode(LIMITER.rootZoneHotCode);
    expect(byHandBand.highC).toBeLessThan(cutsOffC);
  });

  it('heats by the band in force otherwise, or by none', () => {
    expect(heatingBand(HOLD.band, false)).toBe(HOLD.band);
    expect(heatingBand(null, false)).toBe(null);
  });
});

describe('whatever band is in force', () => {
  const anyBand = fc.constantFrom(null, HOLD.band, WITH_NIGHT.nightBand);

  it('the mat heats by it, or by its own while it is tried, which no crop is left to and no time outlasts', () => {
    const ms = fc.nat(600_000);
    const stage = fc.constantFrom(null, HOLD, WITH_NIGHT);
    holds(
      fc.property(anyBand, stage, ms, ms, ms, (inForce, now, untilMs, uptimeMs, moreMs) => {
        const tried = isTriedByHand(now, untilMs, uptimeMs);
        expect(heatingBand(inForce, tried)).toBe(tried ? HEAT_LIMITS.byHandBand : inForce);
        expect(isTriedByHand(HOLD, untilMs, uptimeMs)).toBe(false);
        if (!tried) expect(isTriedByHand(now, untilMs, uptimeMs + moreMs)).toBe(false);
        if (tried) expect(isTriedByHand(now, untilMs + moreMs, uptimeMs)).toBe(true);
      }),
    );
  });
});
