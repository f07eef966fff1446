/** The board as a grid of places for the middle of a track, and the cheapest way over it. */
import type { Point } from '../draw/svg';
import { type Copper, LAYERS, type Layer } from './copper';
import type { Box } from './footprint';

/** A quarter of the pitch of the thinnest pattern: tracks and pads on 1.27 mm lie on it. */
export const PITCH_MM = 0.3175;

/** A slanted step passes a round pad a little nearer than its two ends do. */
const SLANT_MM = 0.03;

/** Whether a point is nearer than `reach` to a line: asked of millions, so by squares. */
function nearLine(from: Point, to: Point, reach: number): (x: number, y: number) => boolean {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  const length2 = dx * dx + dy * dy;
  const reach2 = reach * reach;
  return (x, y) => {
    const [atX, atY] = [x - from.x, y - from.y];
    const along = length2 === 0 ? 0 : (atX * dx + atY * dy) / length2;
    const share = Math.max(0, Math.min(1, along));
    const [offX, offY] = [atX - share * dx, atY - share * dy];
    return offX * offX + offY * offY < reach2;
  };
}

export class Grid {
  readonly columns: number;
  readonly rows: number;
  /** Places of one layer. */
  readonly area: number;

  constructor(width: number, height: number) {
    this.columns = Math.floor(width / PITCH_MM) + 1;
    this.rows = Math.floor(height / PITCH_MM) + 1;
    this.area = this.columns * this.rows;
  }

  place(layer: Layer, { x, y }: Point): number {
    const column = Math.round(x / PITCH_MM);
    const row = Math.round(y / PITCH_MM);
    return LAYERS.indexOf(layer) * this.area + row * this.columns + column;
  }

  point(place: number): Point {
    const flat = place % this.area;
    return { x: (flat % this.columns) * PITCH_MM, y: Math.floor(flat / this.columns) * PITCH_MM };
  }

  layer(place: number): Layer {
    return place < this.area ? 'F.Cu' : 'B.Cu';
  }

  /** Marks every place nearer than `distance` to the copper. */
  mark(map: Uint8Array, copper: Copper, distance: number): void {
    for (const { from, to, radius } of copper.shapes) {
      const reach = radius + distance + SLANT_MM;
      const first = Math.max(0, Math.ceil((Math.min(from.x, to.x) - reach) / PITCH_MM));
      const last = Math.min(
        this.columns - 1,
        Math.floor((Math.max(from.x, to.x) + reach) / PITCH_MM),
      );
      const top = Math.max(0, Math.ceil((Math.min(from.y, to.y) - reach) / PITCH_MM));
      const bottom = Math.min(
        this.rows - 1,
        Math.floor((Math.max(from.y, to.y) + reach) / PITCH_MM),
      );
      const near = nearLine(from, to, reach);
      const starts = copper.layers.map((layer) => LAYERS.indexOf(layer) * this.area);
      for (let row = top; row <= bottom; row++) {
        for (let column = first; column <= last; column++) {
          const flat = row * this.columns + column;
          if (starts.every((start) => map[start + flat] === 1)) continue;
          if (!near(column * PITCH_MM, row * PITCH_MM)) continue;
          for (const start of starts) map[start + flat] = 1;
        }
      }
    }
  }

  /** Marks a box on both layers, and so much around it. */
  markBox(map: Uint8Array, { left, top, right, bottom }: Box, by: number): void {
    for (let place = 0; place < 2 * this.area; place++) {
      const { x, y } = this.point(place);
      if (x > left - by && x < right + by && y > top - by && y < bottom + by) map[place] = 1;
    }
  }

  /** Marks what is nearer than `distance` to the edge of the board. */
  markEdge(map: Uint8Array, width: number, height: number, distance: number): void {
    for (let row = 0; row < this.rows; row++) {
      const y = row * PITCH_MM;
      const rowMm = Math.min(y, height - y);
      for (let column = 0; column < this.columns; column++) {
        const x = column * PITCH_MM;
        if (Math.min(rowMm, x, width - x) >= distance) continue;
        const flat = row * this.columns + column;
        map[flat] = 1;
        map[this.area + flat] = 1;
      }
    }
  }
}

/** What a step costs: in its own length, on the way that it is wished to take. */
export interface Costs {
  /** Never to be entered. */
  readonly closed: (place: number) => boolean;
  /** Extra cost of a place. */
  readonly extra: (place: number) => number;
  /** Whether a via may stand here. */
  readonly via: (place: number) => boolean;
}

const VIA_COST = 12;
const BEND_COST = 0.4;
/** The lower layer is kept for the ground, where another way is not much longer. */
const LOWER_COST = 1.25;

/** A heap of places by cost. */
class Heap {
  private readonly costs: number[] = [];
  private readonly places: number[] = [];

  get size(): number {
    return this.places.length;
  }

  push(place: number, cost: number): void {
    let index = this.places.length;
    this.places.push(place);
    this.costs.push(cost);
    while (index > 0) {
      const above = (index - 1) >> 1;
      if ((this.costs[above] ?? 0) <= cost) break;
      this.costs[index] = this.costs[above] ?? 0;
      this.places[index] = this.places[above] ?? 0;
      index = above;
    }
    this.costs[index] = cost;
    this.places[index] = place;
  }

  pop(): number {
    const top = this.places[0] ?? 0;
    const cost = this.costs.pop() ?? 0;
    const place = this.places.pop() ?? 0;
    const size = this.places.length;
    if (size === 0) return top;
    let index = 0;
    for (;;) {
      let below = 2 * index + 1;
      if (below >= size) break;
      if (below + 1 < size && (this.costs[below + 1] ?? 0) < (this.costs[below] ?? 0)) below++;
      if ((this.costs[below] ?? 0) >= cost) break;
      this.costs[index] = this.costs[below] ?? 0;
      this.places[index] = this.places[below] ?? 0;
      index = below;
    }
    this.costs[index] = cost;
    this.places[index] = place;
    return top;
  }
}

const octile = (dx: number, dy: number): number =>
  Math.max(dx, dy) + (Math.SQRT2 - 1) * Math.min(dx, dy);

/** The cheapest way from any of `starts` to any of `ends`: places in order, or null when there is none. */
export function cheapestWay(
  grid: Grid,
  starts: readonly number[],
  ends: ReadonlySet<number>,
  costs: Costs,
): number[] | null {
  const size = 2 * grid.area;
  const best = new Float32Array(size).fill(Number.POSITIVE_INFINITY);
  const before = new Int32Array(size).fill(-1);
  const done = new Uint8Array(size);
  const goals = [...ends].map((place) => ({
    column: (place % grid.area) % grid.columns,
    row: Math.floor((place % grid.area) / grid.columns),
  }));
  const left = (place: number): number => {
    const column = (place % grid.area) % grid.columns;
    const row = Math.floor((place % grid.area) / grid.columns);
    let least = Number.POSITIVE_INFINITY;
    for (const goal of goals)
      least = Math.min(least, octile(Math.abs(goal.column - column), Math.abs(goal.row - row)));
    return least;
  };
  const heap = new Heap();
  for (const start of starts) {
    best[start] = 0;
    heap.push(start, left(start));
  }
  const steps = [-1, 0, 1]
    .flatMap((dx) => [-1, 0, 1].map((dy) => ({ dx, dy })))
    .filter(({ dx, dy }) => dx !== 0 || dy !== 0);
  while (heap.size > 0) {
    const here = heap.pop();
    if (done[here] === 1) continue;
    done[here] = 1;
    if (ends.has(here)) return backwards(before, here);
    const flat = here % grid.area;
    const column = flat % grid.columns;
    const row = Math.floor(flat / grid.columns);
    const from = before[here] ?? -1;
    const cost = best[here] ?? 0;
    const weight = here < grid.area ? 1 : LOWER_COST;
    const offer = (place: number, price: number): void => {
      if (price >= (best[place] ?? 0) || done[place] === 1) return;
      best[place] = price;
      before[place] = here;
      heap.push(place, price + left(place));
    };
    for (const { dx, dy } of steps) {
      const [x, y] = [column + dx, row + dy];
      if (x < 0 || y < 0 || x >= grid.columns || y >= grid.rows) continue;
      const place = here + dy * grid.columns + dx;
      if (costs.closed(place)) continue;
      const straight = from < 0 || place - here === here - from;
      const length = dx !== 0 && dy !== 0 ? Math.SQRT2 : 1;
      offer(place, cost + length * weight + (straight ? 0 : BEND_COST) + costs.extra(place));
    }
    const other = here < grid.area ? here + grid.area : here - grid.area;
    if (!costs.closed(other) && costs.via(here)) offer(other, cost + VIA_COST + costs.extra(other));
  }
  return null;
}

function backwards(before: Int32Array, end: number): number[] {
  const way: number[] = [];
  for (let place = end; place >= 0; place = before[place] ?? -1) way.push(place);
  return way.reverse();
}
