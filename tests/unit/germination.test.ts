/** What must hold of the pace of emergence, whatever was counted. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dayOfShare, emergencePace, newlyUp } from '../../shared/statistics/germination';
import { holds } from '../properties';

/** Counts on days that rise. */
const counts = fc
  .array(
    fc.record({ gap: fc.integer({ min: 1, max: 4 }), count: fc.integer({ min: 0, max: 60 }) }),
    {
      minLength: 2,
      maxLength: 12,
    },
  )
  .map((list) => {
    let day = 0;
    return list.map(({ gap, count }) => {
      day += gap;
      return { day, count };
    });
  })
  .filter((rows) => rows.some(({ count }) => count > 0));

describe('the pace of emergence', () => {
  it('lies within the days on which anything came up', () => {
    holds(
      fc.property(counts, (rows) => {
        const up = rows.filter(({ count }) => count > 0).map(({ day }) => day);
        const pace = emergencePace(rows);
        expect(pace?.meanDays).toBeGreaterThanOrEqual(Math.min(...up) - 1e-9);
        expect(pace?.meanDays).toBeLessThanOrEqual(Math.max(...up) + 1e-9);
        const half = pace?.t50FarooqDay ?? null;
        if (half !== null) expect(half).toBeLessThanOrEqual(Math.max(...up));
        if (pace && !Number.isNaN(pace.synchrony)) {
          expect(pace.synchrony).toBeGreaterThanOrEqual(0);
          expect(pace.synchrony).toBeLessThanOrEqual(1);
        }
      }),
    );
  });

  it('is a day later in every figure of time when each count is, and no less even', () => {
    holds(
      fc.property(counts, (rows) => {
        const [now, later] = [
          emergencePace(rows),
          emergencePace(rows.map((row) => ({ ...row, day: row.day + 1 }))),
        ];
        expect(later?.meanDays).toBeCloseTo((now?.meanDays ?? 0) + 1, 9);
        expect(later?.synchrony).toEqual(now?.synchrony);
        expect(later?.uncertaintyBit).toEqual(now?.uncertaintyBit);
        if (now && later && now.t50FarooqDay !== null) {
          expect(later.t50FarooqDay).toBeCloseTo(now.t50FarooqDay + 1, 9);
        }
      }),
    );
  });

  it('is that of one moment when all come up at once, as far as a count can tell', () => {
    const pace = emergencePace([
      { day: 5, count: 0 },
      { day: 6, count: 30 },
    ]);
    expect(pace).toMatchObject({ meanDays: 6, sdDays: 0, synchrony: 1, t50FarooqDay: 5.5 });
    expect(pace?.uncertaintyBit).toBeCloseTo(0, 12);
    expect(pace?.uniformityPerDay2).toBeNaN();
  });

  it('is not known before anything is up, nor its half when it was up at the first count', () => {
    expect(emergencePace([{ day: 3, count: 0 }])).toBeNull();
    expect(emergencePace([{ day: 3, count: 10 }])?.t50FarooqDay).toBeNull();
  });

  it('takes plants that fell for no emergence, and what stands up again for none either', () => {
    const standing = [
      { day: 4, standing: 10 },
      { day: 5, standing: 8 },
      { day: 6, standing: 12 },
    ];
    expect(newlyUp(standing).map(({ count }) => count)).toEqual([10, 0, 2]);
  });

  it('tells when a share of the seed stood, and nothing of what has not been seen', () => {
    const rows = [
      { day: 4, count: 0 },
      { day: 5, count: 40 },
      { day: 6, count: 20 },
    ];
    expect(dayOfShare(rows, 100, 0.5)).toBeCloseTo(5.5, 9);
    expect(dayOfShare(rows, 100, 0.7)).toBeNull();
  });
});
