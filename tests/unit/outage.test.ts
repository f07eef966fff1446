import { describe, expect, it } from 'vitest';
import { aged, believedOutageMs, isAnotherOutage } from '../../firmware/control/outage';
import { RECORD_LIMITS } from '../../firmware/limits';
import { WRONG_CLOCK_MS } from '../../shared/journal/clock';
import { HOLD, PROFILE } from '../base-profile';

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
  const DAY_MS = 86_400_000;
  const hold = { ...HOLD, end: { afterS: 2 * 86_400, mark: null } };
  const profile = { ...PROFILE, stages: [hold, hold, { ...hold, end: { afterS: 0, mark: null } }] };
  const young = { index: 0, runMs: DAY_MS, staying: false };

  it('is so much later in its stage, or in the one that it would have come to', () => {
    expect(aged(young, DAY_MS / 2, profile)).toEqual({ ...young, runMs: 1.5 * DAY_MS });
    expect(aged(young, 2 * DAY_MS, profile)).toEqual({ index: 1, runMs: DAY_MS, staying: false });
    expect(aged(young, 9 * DAY_MS, profile)).toEqual({
      index: 2,
      runMs: 6 * DAY_MS,
      staying: false,
    });
  });

  it('stays where the grower has said that it stays', () => {
    const staying = { ...young, staying: true };
    expect(aged(staying, 9 * DAY_MS, profile)).toEqual({ ...staying, runMs: 10 * DAY_MS });
  });
});
