/** A curve as text, for a terminal. Pure. */

export interface PlotPoint {
  readonly x: number;
  /** 0..1 of the height. */
  readonly share: number;
}

export interface PlotFrame {
  readonly width: number;
  readonly height: number;
  /** Below the axis, at its right end. */
  readonly xTitle: string;
}

/** Columns that the scale on the left takes. */
const SCALE_WIDTH = 6;
const SCALE_MARKS = [0, 0.25, 0.5, 0.75, 1];

/**
 * Points of a count that never falls back, joined by straight dots: `o` where it was counted, `.` in between. The axis
 * begins at 0; points are in the order of `x`.
 */
export function plot(points: readonly PlotPoint[], { width, height, xTitle }: PlotFrame): string {
  const columns = width - SCALE_WIDTH - 1;
  const xMost = Math.max(1, ...points.map(({ x }) => x));
  const columnOf = (x: number): number => Math.round((x / xMost) * (columns - 1));
  const rowOf = (share: number): number => Math.round((1 - share) * (height - 1));
  const cells = Array.from({ length: height }, () => new Array<string>(columns).fill(' '));
  const put = (x: number, share: number, mark: string): void => {
    const row = cells[rowOf(Math.min(1, Math.max(0, share)))];
    if (row !== undefined) row[columnOf(x)] = mark;
  };
  const line = [{ x: 0, share: 0 }, ...points];
  for (let column = 0; column < columns; column++) {
    const x = (column / (columns - 1)) * xMost;
    const after = line.findIndex((point) => point.x >= x);
    const [a, b] = [line[Math.max(0, after - 1)], line[after]];
    if (a === undefined || b === undefined) continue;
    const part = b.x === a.x ? 1 : (x - a.x) / (b.x - a.x);
    put(x, a.share + (b.share - a.share) * part, '.');
  }
  for (const { x, share } of points) put(x, share, 'o');
  const scale = new Map(SCALE_MARKS.map((share) => [rowOf(share), `${share * 100} %`]));
  const rows = cells.map((row, i) => {
    const mark = (scale.get(i) ?? '').padStart(SCALE_WIDTH - 1);
    return `${mark} |${row.join('')}`.trimEnd();
  });
  const ends = `0${String(round(xMost)).padStart(columns - 1)}`;
  const blank = ' '.repeat(SCALE_WIDTH);
  return [
    ...rows,
    `${blank}+${'-'.repeat(columns)}`,
    `${blank} ${ends}`,
    `${blank} ${xTitle.padStart(columns)}`.trimEnd(),
  ].join('\n');
}

const round = (value: number): number => Math.round(value * 10) / 10;
