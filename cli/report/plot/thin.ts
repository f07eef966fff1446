/** Fewer points that draw the same line: peaks and dips are never lost. Pure. */
import { ROW_NAMES, type RowName, type Rows } from './model';

export interface Point {
  readonly x: number;
  readonly y: number;
}

/**
 * Of the points in each column of `stepPx`, the first, the lowest, the highest and the last (M4: Jugel et al. 2014,
 * Proc. VLDB 7:797, by which the line covers the same pixels). `points` in order of x.
 */
export function thinPoints(points: readonly Point[], stepPx: number): readonly Point[] {
  const kept: Point[] = [];
  for (const column of columnsOf(points, stepPx)) {
    const [first] = column;
    const last = column.at(-1);
    if (first === undefined || last === undefined) continue;
    const lowest = column.reduce((a, b) => (b.y < a.y ? b : a));
    const highest = column.reduce((a, b) => (b.y > a.y ? b : a));
    const four = new Set([first, lowest, highest, last]);
    // In the order they were read: a dose and the weight before it may be at one x.
    kept.push(...column.filter((point) => four.has(point)));
  }
  return kept;
}

/** The points in each column of `stepPx` that has any. */
export function columnsOf(points: readonly Point[], stepPx: number): readonly (readonly Point[])[] {
  const columns: Point[][] = [];
  let place = Number.NaN;
  for (const point of points) {
    const at = Math.floor(point.x / stepPx);
    if (at !== place) columns.push([]);
    place = at;
    columns.at(-1)?.push(point);
  }
  return columns;
}

/** A bucket keeps at most so many rows: its first and last, and both extremes of each column. */
const KEPT_MOST = 2 + 2 * ROW_NAMES.length;

/** At most about `most` rows, as they were read: in each bucket those in which some column is lowest or highest stay. */
export function thinRows(rows: Rows, most: number): Rows {
  const { length } = rows.minutes;
  if (length <= most) return rows;
  const size = Math.ceil((length * KEPT_MOST) / most);
  const kept: number[] = [];
  for (let from = 0; from < length; from += size) {
    kept.push(...extremes(rows, from, Math.min(length, from + size)));
  }
  return picked(rows, kept);
}

function extremes(rows: Rows, from: number, to: number): readonly number[] {
  const kept = new Set([from, to - 1]);
  for (const name of ROW_NAMES) {
    const column = rows[name];
    let low = -1;
    let high = -1;
    for (let i = from; i < to; i++) {
      const value = column[i] ?? null;
      if (value === null) continue;
      if (low < 0 || value < (column[low] ?? 0)) low = i;
      if (high < 0 || value > (column[high] ?? 0)) high = i;
    }
    if (low >= 0) kept.add(low).add(high);
  }
  // A row without any value is where a line breaks.
  for (let i = from; i < to; i++)
    if (ROW_NAMES.every((name) => rows[name][i] === null)) kept.add(i);
  return [...kept].sort((a, b) => a - b);
}

function picked(rows: Rows, indices: readonly number[]): Rows {
  const pick = (name: RowName) => indices.map((i) => rows[name][i] ?? null);
  return {
    minutes: indices.map((i) => rows.minutes[i] ?? 0),
    rootZone: pick('rootZone'),
    duty: pick('duty'),
    weight: pick('weight'),
    dryBack: pick('dryBack'),
    rawDryBack: pick('rawDryBack'),
  };
}
