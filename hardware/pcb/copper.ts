/** Pieces of copper on a board, and how far they are apart. Millimetres, y downwards. */
import type { Point } from '../draw/svg';

export type Layer = 'F.Cu' | 'B.Cu';
export const LAYERS: readonly Layer[] = ['F.Cu', 'B.Cu'];

/** Everything within `radius` of a line: a track, a round pad (a line of no length), an oval one. */
export interface Capsule {
  readonly from: Point;
  readonly to: Point;
  readonly radius: number;
}

export interface Copper {
  /** Null for a hole without copper, which tracks keep away from all the same. */
  readonly net: string | null;
  readonly layers: readonly Layer[];
  /** Square pads are given by lines over their whole area. */
  readonly shapes: readonly Capsule[];
  /** What to call it: `R3.1`, `track`, `via`. */
  readonly name: string;
}

/** Shortest way from a point to a line. */
export function pointToLine(point: Point, from: Point, to: Point): number {
  const dx = to.x - from.x;
  const dy = to.y - from.y;
  const length2 = dx * dx + dy * dy;
  const share =
    length2 === 0
      ? 0
      : Math.max(0, Math.min(1, ((point.x - from.x) * dx + (point.y - from.y) * dy) / length2));
  return Math.hypot(point.x - from.x - share * dx, point.y - from.y - share * dy);
}

const side = (a: Point, b: Point, c: Point): number =>
  (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);

function cross(a: Capsule, b: Capsule): boolean {
  return (
    side(a.from, a.to, b.from) * side(a.from, a.to, b.to) < 0 &&
    side(b.from, b.to, a.from) * side(b.from, b.to, a.to) < 0
  );
}

/** Gap between two shapes; below zero where they overlap. */
export function gap(a: Capsule, b: Capsule): number {
  const middle = cross(a, b)
    ? 0
    : Math.min(
        pointToLine(a.from, b.from, b.to),
        pointToLine(a.to, b.from, b.to),
        pointToLine(b.from, a.from, a.to),
        pointToLine(b.to, a.from, a.to),
      );
  return middle - a.radius - b.radius;
}

export const gapBetween = (a: Copper, b: Copper): number => {
  if (!a.layers.some((layer) => b.layers.includes(layer))) return Number.POSITIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  for (const one of a.shapes) for (const two of b.shapes) least = Math.min(least, gap(one, two));
  return least;
};

/** Lines that fill a box, with corners a tenth of a millimetre round. */
export function boxShapes(centre: Point, width: number, height: number): Capsule[] {
  const radius = Math.min(width, height) / 2;
  const corner = Math.min(0.05, radius);
  const [x, y] = [width / 2, height / 2];
  const rim = (ax: number, ay: number, bx: number, by: number): Capsule => ({
    from: { x: centre.x + ax, y: centre.y + ay },
    to: { x: centre.x + bx, y: centre.y + by },
    radius: corner,
  });
  const [ix, iy] = [x - corner, y - corner];
  const long = width > height;
  return [
    rim(-ix, -iy, ix, -iy),
    rim(ix, -iy, ix, iy),
    rim(ix, iy, -ix, iy),
    rim(-ix, iy, -ix, -iy),
    {
      from: long
        ? { x: centre.x - x + radius, y: centre.y }
        : { x: centre.x, y: centre.y - y + radius },
      to: long
        ? { x: centre.x + x - radius, y: centre.y }
        : { x: centre.x, y: centre.y + y - radius },
      radius,
    },
  ];
}
