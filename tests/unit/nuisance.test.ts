import { describe, expect, it } from 'vitest';
import { judgeNuisances, nuisancesInOneSeason } from '../../firmware/bench/season/nuisance';
import type { Raised } from '../../firmware/bench/season/verdict';

const raised = (right: boolean): Raised => ({
  alarm: 'drying-fast',
  atDays: 1,
  stage: 0,
  value: 0,
  limit: 0,
  right,
});
const season = (weeks: number, wrong: number, right = 0) => ({
  weeks,
  raised: [...Array(wrong).fill(raised(false)), ...Array(right).fill(raised(true))] as Raised[],
});

describe('alarms without a cause', () => {
  it('may be one in four weeks of a tray, all seasons together, and no remainder is for free', () => {
    const holds = (...seasons: ReturnType<typeof season>[]) => judgeNuisances(seasons).holds;
    expect(holds(season(2, 1), season(2, 0))).toBe(true);
    expect(holds(season(2, 1), season(1.9, 0))).toBe(false);
    expect(holds(season(3, 1), season(3, 1), season(3, 0))).toBe(true);
    expect(holds(season(3, 1), season(3, 1), season(1, 0))).toBe(false);
    expect(judgeNuisances([season(4, 1, 7), season(8, 2)])).toEqual({
      alarms: 3,
      weeks: 12,
      allowed: 3,
      holds: true,
    });
  });

  it('may be one in a season that is shorter, and its share in a longer one', () => {
    expect([2, 4, 7.9, 8].map(nuisancesInOneSeason)).toEqual([1, 1, 1, 2]);
  });
});
