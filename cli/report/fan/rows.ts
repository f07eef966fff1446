/** The values of a fan along a view: its rows, and between two of them where the view begins and ends. Pure. */
import { acrossOf, MARGIN, type View } from '../plot/axes';
import { isDense } from '../plot/lines';
import { FAN_PERCENTS, type Fan, type FanLines, type FanName, type FanPercent } from './model';

/** The five lines at one place across. */
export interface FanPoint {
  readonly x: number;
  readonly at: { readonly [Percent in FanPercent]: number };
}

/** Columns of pixels whose hours are told together where many are shown: a mat comes and goes in less, px. */
const COLUMN_PX = 4;

/** Place of a minute among the rows: a whole number at a row, between two rows a share of the way; null beside all. */
export function placeAt(minutes: readonly number[], minute: number): number | null {
  const after = minutes.findIndex((one) => one >= minute);
  const high = minutes[after];
  if (high === undefined) return null;
  if (high === minute) return after;
  const low = minutes[after - 1];
  return low === undefined ? null : after - 1 + (minute - low) / (high - low);
}

/** The five lines at a place among the rows; null where one of its neighbours is not known. */
function linesAt(lines: FanLines, place: number): FanPoint['at'] | null {
  const below = Math.floor(place);
  const share = place - below;
  const values = FAN_PERCENTS.map((percent) => {
    const low = lines[percent][below] ?? null;
    const high = share === 0 ? low : (lines[percent][below + 1] ?? null);
    return low === null || high === null ? null : low + share * (high - low);
  });
  const [a, b, c, d, e] = values;
  if (a == null || b == null || c == null || d == null || e == null) return null;
  return { 5: a, 25: b, 50: c, 75: d, 95: e };
}

/** Rows that the view shows, with both of its edges where they lie between rows. */
function placesIn({ minutes }: Fan, { from, to }: View): readonly number[] {
  const inside = minutes.flatMap((minute, i) => (minute > from && minute < to ? [i] : []));
  const [left, right] = [placeAt(minutes, from), placeAt(minutes, to)];
  return [...(left === null ? [] : [left]), ...inside, ...(right === null ? [] : [right])];
}

/** The points that the view shows, a run for each stretch without a break. */
export function runsOf(fan: Fan, name: FanName, view: View): readonly (readonly FanPoint[])[] {
  const across = acrossOf(view);
  const minuteAt = (place: number): number => {
    const low = fan.minutes[Math.floor(place)] ?? 0;
    const high = fan.minutes[Math.floor(place) + 1] ?? low;
    return low + (place - Math.floor(place)) * (high - low);
  };
  const runs: FanPoint[][] = [[]];
  for (const place of placesIn(fan, view)) {
    const at = linesAt(fan.lines[name], place);
    if (at === null) runs.push([]);
    else runs.at(-1)?.push({ x: across(minuteAt(place)), at });
  }
  const known = runs.filter(({ length }) => length > 0);
  return isDense(view) ? known.map(columnsOf) : known;
}

/** Where many hours are shown: each column's outermost ends, and the means of the lines within. */
function columnsOf(run: readonly FanPoint[]): readonly FanPoint[] {
  const columns = new Map<number, FanPoint[]>();
  for (const point of run) {
    const column = Math.floor((point.x - MARGIN.left) / COLUMN_PX);
    columns.set(column, [...(columns.get(column) ?? []), point]);
  }
  const [first, last] = [run[0], run.at(-1)];
  return [...columns.values()].map((points) => {
    const all = (percent: FanPercent): readonly number[] => points.map(({ at }) => at[percent]);
    const mean = (values: readonly number[]): number =>
      values.reduce((sum, value) => sum + value, 0) / values.length;
    const end = [first, last].find((one) => one !== undefined && points.includes(one));
    return {
      // A run goes on to both of its ends.
      x: end?.x ?? mean(points.map(({ x }) => x)),
      at: {
        5: Math.min(...all(5)),
        25: mean(all(25)),
        50: mean(all(50)),
        75: mean(all(75)),
        95: Math.max(...all(95)),
      },
    };
  });
}
