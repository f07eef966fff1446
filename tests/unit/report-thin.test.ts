/** Lines drawn with fewer points: nothing that happened is smoothed away. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ROW_NAMES, type Rows } from '../../cli/report/plot/model';
import { thinPoints, thinRows } from '../../cli/report/plot/thin';
import { holds } from '../properties';

const anyPoints = fc
  .array(fc.record({ x: fc.double({ min: 0, max: 500, noNaN: true }), y: fc.integer() }), {
    minLength: 1,
    maxLength: 200,
    size: 'max',
  })
  .map((points) => [...points].sort((a, b) => a.x - b.x));

const value = fc.option(fc.integer({ min: -500, max: 500 }), { nil: null });
const anyRows = fc
  .array(fc.tuple(value, value, value, value, value), { minLength: 1, maxLength: 400, size: 'max' })
  .map(
    (list): Rows => ({
      minutes: list.map((_, i) => i * 5),
      rootZone: list.map((row) => row[0]),
      duty: list.map((row) => row[1]),
      weight: list.map((row) => row[2]),
      dryBack: list.map((row) => row[3]),
      rawDryBack: list.map((row) => row[4]),
    }),
  );

const extremes = (values: readonly (number | null)[]): readonly [number, number] => {
  const known = values.filter((one) => one !== null);
  return [Math.min(...known), Math.max(...known)];
};

describe('a line with fewer points', () => {
  it('keeps its ends, its peak and its dip, and invents no point', () => {
    holds(
      fc.property(anyPoints, fc.integer({ min: 1, max: 50 }), (points, stepPx) => {
        const kept = thinPoints(points, stepPx);
        expect(kept[0]).toBe(points[0]);
        expect(kept.at(-1)).toBe(points.at(-1));
        expect(extremes(kept.map(({ y }) => y))).toEqual(extremes(points.map(({ y }) => y)));
        for (const point of kept) expect(points).toContain(point);
      }),
    );
  });

  it('ends as the tray stood, though a dose came in the same instant', () => {
    const points = [
      { x: 0, y: 1 },
      { x: 9.9, y: 2 },
      { x: 9.9, y: 0 },
    ];
    expect(thinPoints(points, 10).map(({ y }) => y)).toEqual([1, 2, 0]);
  });

  it('has four a column at the most', () => {
    const points = Array.from({ length: 1_000 }, (_, i) => ({ x: i / 100, y: (i * 7) % 13 }));
    expect(thinPoints(points, 1).length).toBeLessThanOrEqual(40);
  });
});

describe('fewer rows', () => {
  it('have every column’s highest and lowest value, in the order of time', () => {
    holds(
      fc.property(anyRows, fc.integer({ min: 24, max: 100 }), (rows, most) => {
        const kept = thinRows(rows, most);
        for (const name of ROW_NAMES) expect(extremes(kept[name])).toEqual(extremes(rows[name]));
        expect([...kept.minutes].sort((a, b) => a - b)).toEqual(kept.minutes);
        for (const name of ROW_NAMES) expect(kept[name]).toHaveLength(kept.minutes.length);
      }),
    );
  });

  it('are as many as there were where those are few enough', () => {
    holds(
      fc.property(anyRows, (rows) => {
        expect(thinRows(rows, 400)).toBe(rows);
      }),
    );
  });

  it('keep the row that breaks a line', () => {
    const length = 200;
    const level = (name: number) => Array.from({ length }, (_, i) => (i === 77 ? null : name));
    const rows: Rows = {
      minutes: Array.from({ length }, (_, i) => i),
      ...{ rootZone: level(1), duty: level(2), weight: level(3) },
      ...{ dryBack: level(4), rawDryBack: level(5) },
    };
    expect(thinRows(rows, 24).minutes).toContain(77);
  });
});
