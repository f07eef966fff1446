import { describe, expect, it } from 'vitest';
import { believedOutageMs, isAnotherOutage } from '../../firmware/control/outage';
import { RECORD_LIMITS } from '../../firmware/limits';

describe('what a clock tells of the time before a start', () => {
  it('is believed up to a week: a later date is wrong, and ages nothing', () => {
    const { outageMaxMs } = RECORD_LIMITS;
    expect(believedOutageMs(0)).toBe(0);
    expect(believedOutageMs(outageMaxMs)).toBe(outageMaxMs);
    expect(believedOutageMs(outageMaxMs + 1)).toBe(0);
  });

  it('is another outage when it differs by minutes, one way or the other', () => {
    const { outageAgainMs } = RECORD_LIMITS;
    expect(isAnotherOutage(outageAgainMs - 1, 0)).toBe(false);
    expect(isAnotherOutage(outageAgainMs, 0)).toBe(true);
    expect(isAnotherOutage(0, outageAgainMs)).toBe(true);
  });
});
