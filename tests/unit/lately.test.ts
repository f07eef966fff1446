import { describe, expect, it } from 'vitest';
import { MARK_LIMITS } from '../../firmware/limits';
import { Lately } from '../../firmware/tick/lately';

/** After so many minutes, by the weight in each; null with a hand at the tray. */
function weighed(minutes: number, gramsAt: (minute: number) => number | null): Lately {
  const lately = new Lately();
  for (let minute = 0; minute < minutes; minute++) {
    const grams = gramsAt(minute);
    lately.minute(grams ?? 4_600, grams === null);
  }
  return lately;
}

/** Until `untilMin` a cloth draws 9 g a minute. */
const drawnUntil = (untilMin: number) => (minute: number) => 4_600 - 9 * Math.min(minute, untilMin);

describe('what a soaked tray lost lately', () => {
  const { movesMostG } = MARK_LIMITS;

  it('is little half an hour after a flood of 150 g, which halves every seven minutes', () => {
    const flood = (minute: number) => 4_600 + 150 * 0.5 ** (minute / 7);
    expect(weighed(31, flood).lostMostG).toBeLessThan(movesMostG);
    expect(weighed(15, flood).lostMostG).toBeGreaterThan(movesMostG);
  });

  it('is what a cloth drew until a quarter of an hour ago, though it has stood still since', () => {
    for (const agoMin of [0, 8, 15]) {
      const lately = weighed(31, drawnUntil(30 - agoMin));
      expect(lately.lostMostG).toBeGreaterThan(movesMostG);
    }
    expect(weighed(60, drawnUntil(30)).lostMostG).toBe(0);
  });

  it('is the same after a hand that took the cloth, and nothing that the hand took', () => {
    const lately = weighed(31, (minute) => (minute === 24 ? null : drawnUntil(23)(minute)));
    expect(lately.lostMostG).toBe(90);
    expect(lately.gainedG).toBeNaN();
    const taken = weighed(31, (minute) => (minute === 20 ? null : minute < 20 ? 4_600 : 4_200));
    expect(taken.lostMostG).toBe(0);
  });

  it('is nothing where nobody has weighed it for ten minutes', () => {
    expect(weighed(0, () => 4_600).lostMostG).toBe(0);
    expect(weighed(10, drawnUntil(10)).lostMostG).toBe(0);
    expect(weighed(31, () => Number.NaN).lostMostG).toBe(0);
  });
});
