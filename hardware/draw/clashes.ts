/** What makes a schematic sheet unreadable: wires that touch, pins on foreign wires, wires through symbols. */
import type { Point } from './svg';
import { type Drawn, dot } from './symbols';

export interface Segment {
  readonly net: string;
  readonly from: Point;
  readonly to: Point;
}

/** What stands on a sheet: pins by net, symbols, and the faults found so far. */
export interface Collected {
  readonly points: Map<string, { pin: string; at: Point }[]>;
  readonly drawn: readonly Drawn[];
  readonly svg: string[];
  readonly faults: string[];
}

export const same = (a: Point, b: Point): boolean =>
  Math.abs(a.x - b.x) < 0.01 && Math.abs(a.y - b.y) < 0.01;

export function onSegment(point: Point, { from, to }: { from: Point; to: Point }): boolean {
  const inX = point.x >= Math.min(from.x, to.x) - 0.01 && point.x <= Math.max(from.x, to.x) + 0.01;
  const inY = point.y >= Math.min(from.y, to.y) - 0.01 && point.y <= Math.max(from.y, to.y) + 0.01;
  return inX && inY;
}

/** Wires of two nets on top of each other, a pin on a foreign wire, or a wire through a symbol. */
export function clashes(collected: Collected, segments: readonly Segment[]): string[] {
  const faults: string[] = [];
  for (const [net, pins] of collected.points) {
    for (const { pin, at } of pins) {
      const foreign = segments.find((segment) => segment.net !== net && onSegment(at, segment));
      if (foreign !== undefined) faults.push(`${pin} lies on the wire of ${foreign.net}`);
    }
  }
  segments.forEach((a, i) => {
    for (const b of segments.slice(i + 1)) {
      if (a.net === b.net) continue;
      const ends = [a.from, a.to].filter((end) => onSegment(end, b)).length;
      const others = [b.from, b.to].filter((end) => onSegment(end, a)).length;
      if (ends + others > 0) faults.push(`wires of ${a.net} and ${b.net} touch`);
    }
    for (const { body } of collected.drawn) {
      const low = { x: body.at.x - body.halfX + 0.5, y: body.at.y - body.halfY + 0.5 };
      const high = { x: body.at.x + body.halfX - 0.5, y: body.at.y + body.halfY - 0.5 };
      const crosses =
        Math.max(a.from.x, a.to.x) > low.x &&
        Math.min(a.from.x, a.to.x) < high.x &&
        Math.max(a.from.y, a.to.y) > low.y &&
        Math.min(a.from.y, a.to.y) < high.y;
      if (crosses)
        faults.push(`a wire of ${a.net} runs through a symbol at ${body.at.x},${body.at.y}`);
    }
  });
  return faults;
}

/** Dots where three or more ends meet: of wires, and of symbols whose pins lie on a wire. */
export function junctions(segments: readonly Segment[], legs: readonly Point[]): string[] {
  const marks: string[] = [];
  const seen: Point[] = [];
  const ends = segments.flatMap(({ net, from, to }) => [
    { net, end: from },
    { net, end: to },
    ...legs.filter((leg) => onSegment(leg, { from, to })).map((end) => ({ net, end })),
  ]);
  for (const { net, end } of ends) {
    if (seen.some((point) => same(point, end))) continue;
    seen.push(end);
    const mine = segments.filter((segment) => segment.net === net && onSegment(end, segment));
    const arms = mine.reduce(
      (sum, segment) => sum + (same(end, segment.from) || same(end, segment.to) ? 1 : 2),
      0,
    );
    const pins = legs.filter((leg) => same(leg, end)).length;
    if (arms >= 3 || (arms === 2 && pins > 0)) marks.push(dot(end));
  }
  return marks;
}
