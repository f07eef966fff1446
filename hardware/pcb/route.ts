/**
 * Tracks for a board: each net in turn takes the cheapest way over the grid. Where another net's track is in the way,
 * that costs; the other is taken up and laid anew. No library of a settled version does this for Node.
 */
import { type Copper, gapBetween, LAYERS } from './copper';
import { type Costs, cheapestWay, Grid } from './grid';
import type { Layout } from './layout';
import { placedParts, screws, straps, type Track, trackCopper, type Via } from './placed';
import { type Job, jobs, type Leg } from './route-jobs';
import { COPPER } from './widths';

export interface Routed {
  readonly tracks: readonly Track[];
  readonly vias: readonly Via[];
}

/** How often all nets may be laid anew, on average, before it is given up. */
const ROUNDS = 12;
/** What it costs to lie where another net's track lies, for each place, and by how much that grows each time. */
const IN_THE_WAY = 6;
/** Near its own pads a wide track may be as narrow as a leg, for this far. */
export const NECK = { mm: 1.9, reach: 3.5 } as const;

export const viaCopper = ({ net, at }: Via): Copper => ({
  net,
  layers: LAYERS,
  shapes: [{ from: at, to: at, radius: COPPER.viaMm / 2 }],
  name: `via of ${net}`,
});

interface Laid {
  readonly job: Job;
  readonly tracks: readonly Track[];
  readonly vias: readonly Via[];
  readonly copper: readonly Copper[];
}

/** Everything that one net's search looks at. */
class Search {
  private readonly places = new Set<number>();
  readonly tracks: Track[] = [];
  readonly vias: Via[] = [];

  constructor(
    private readonly grid: Grid,
    private readonly layout: Layout,
    private readonly job: Job,
    private readonly fixed: readonly Copper[],
    private readonly others: readonly Laid[],
    private readonly history: Float32Array,
  ) {}

  /** Places that a track of this width may not take, and those where it would lie on another net's track. */
  private maps(width: number): { hard: Uint8Array; soft: Uint8Array } {
    const distance = width / 2 + COPPER.clearanceMm;
    const hard = new Uint8Array(2 * this.grid.area);
    const soft = new Uint8Array(2 * this.grid.area);
    this.grid.markEdge(hard, this.layout.width, this.layout.height, width / 2 + COPPER.edgeMm);
    for (const copper of this.fixed)
      if (copper.net !== this.job.net || copper.net === null)
        this.grid.mark(hard, copper, distance);
    for (const box of this.layout.reserved)
      if (!box.nets.some((net) => net === this.job.net)) this.grid.markBox(hard, box, width / 2);
    for (const laid of this.others)
      for (const copper of laid.copper) this.grid.mark(soft, copper, distance);
    return { hard, soft };
  }

  private legPlaces(leg: Leg): number[] {
    return leg.pads.flatMap(({ at, copper }) =>
      copper.layers.map((layer) => this.grid.place(layer, at)),
    );
  }

  private costs(
    width: number,
    vias: boolean,
    legs: readonly Leg[],
  ): { costs: Costs; neck: number; wide: Uint8Array } {
    const { hard: wide, soft } = this.maps(width);
    const neck = Math.min(width, NECK.mm);
    const narrow = neck < width ? this.maps(neck).hard : wide;
    const near = new Uint8Array(2 * this.grid.area);
    for (const { copper } of legs.flatMap(({ pads }) => pads))
      this.grid.mark(near, { ...copper, layers: LAYERS }, NECK.reach);
    const via = vias ? this.maps(COPPER.viaMm) : null;
    const costs: Costs = {
      closed: (place) => wide[place] === 1 && (narrow[place] === 1 || near[place] !== 1),
      extra: (place) =>
        (soft[place] === 1 ? IN_THE_WAY + (this.history[place] ?? 0) : 0) +
        (wide[place] === 1 ? 1 : 0),
      via: (place) => {
        const flat = place % this.grid.area;
        if (via === null) return false;
        return [flat, flat + this.grid.area].every(
          (one) => via.hard[one] !== 1 && via.soft[one] !== 1,
        );
      },
    };
    return { costs, neck, wide };
  }

  /** Joins all legs; throws when a leg cannot be reached at all. */
  run(): void {
    const reached: Leg[] = [];
    for (const { width, vias, legs } of this.job.stages) {
      if (legs.length === 0) continue;
      const { costs, neck, wide } = this.costs(width, vias, [...legs, ...reached]);
      const open = [...legs];
      if (reached.length === 0) {
        const first = open.shift();
        if (first !== undefined) this.reach(reached, first);
      }
      while (open.length > 0) {
        const ends = new Set(open.flatMap((leg) => this.legPlaces(leg)));
        const way = cheapestWay(this.grid, [...this.places], ends, {
          ...costs,
          closed: (place) => costs.closed(place) && !ends.has(place),
        });
        const end = way?.at(-1);
        if (way === null || end === undefined)
          throw new Error(`${this.job.net}: no way to ${open.map(({ pin }) => pin).join(', ')}`);
        this.lay(way, width, neck, wide);
        const hit = open.findIndex((leg) => this.legPlaces(leg).includes(end));
        const [leg] = open.splice(hit, 1);
        if (leg !== undefined) this.reach(reached, leg);
      }
    }
  }

  private reach(reached: Leg[], leg: Leg): void {
    reached.push(leg);
    for (const place of this.legPlaces(leg)) this.places.add(place);
  }

  /** Tracks and vias along a way, bends and changes of width at their ends. */
  private lay(way: readonly number[], width: number, neck: number, wide: Uint8Array): void {
    for (const place of way) this.places.add(place);
    const thin = (place: number): boolean => wide[place] === 1;
    let start = way[0];
    for (let index = 1; index < way.length; index++) {
      const [here, last, next] = [way[index], way[index - 1], way[index + 1]];
      if (here === undefined || last === undefined || start === undefined) continue;
      if (Math.abs(here - last) === this.grid.area) {
        this.vias.push({ net: this.job.net, at: this.grid.point(here) });
        start = here;
        continue;
      }
      const narrow = thin(here) || thin(last);
      const goesOn =
        next !== undefined && next - here === here - last && (thin(next) || thin(here)) === narrow;
      if (goesOn) continue;
      this.tracks.push({
        net: this.job.net,
        layer: this.grid.layer(here),
        from: this.grid.point(start),
        to: this.grid.point(here),
        width: narrow ? neck : width,
      });
      start = here;
    }
    for (const end of [way[0], way.at(-1)])
      if (end !== undefined) this.centre(end, Math.min(width, neck));
  }

  /** From the grid to the very middle of a pad that is off it. */
  private centre(place: number, width: number): void {
    const from = this.grid.point(place);
    const legs = this.job.stages.flatMap(({ legs }) => legs);
    const pad = legs
      .flatMap(({ pads }) => pads)
      .find(({ at, copper }) =>
        copper.layers.some((layer) => this.grid.place(layer, at) === place),
      );
    if (pad === undefined || Math.hypot(pad.at.x - from.x, pad.at.y - from.y) < 1e-6) return;
    this.tracks.push({
      net: this.job.net,
      layer: this.grid.layer(place),
      from,
      to: pad.at,
      width: Math.min(width, pad.pad.width, pad.pad.height),
    });
  }
}

const clash = (a: Laid, b: Laid): boolean =>
  a.copper.some((one) => b.copper.some((two) => gapBetween(one, two) < COPPER.clearanceMm - 1e-6));

/** Tracks and vias of a board; throws when a net finds no way, or the nets do not stop pushing each other out. */
export function route(layout: Layout): Routed {
  const parts = placedParts(layout);
  const joined = straps(parts);
  const fixed = [
    ...parts.flatMap(({ pads }) => pads.map(({ copper }) => copper)),
    ...joined.map(trackCopper),
    ...screws(layout),
    ...layout.stitches.map(viaCopper),
  ];
  const grid = new Grid(layout.width, layout.height);
  const history = new Float32Array(2 * grid.area);
  const queue = jobs(layout, parts);
  const most = queue.length * ROUNDS;
  let laid: Laid[] = [];
  for (let turn = 0; queue.length > 0; turn++) {
    const job = queue.shift();
    if (job === undefined) break;
    if (turn > most) throw new Error(`no end of pushing about ${job.net}`);
    const search = new Search(grid, layout, job, fixed, laid, history);
    search.run();
    const copper = [...search.tracks.map(trackCopper), ...search.vias.map(viaCopper)];
    const mine: Laid = { job, tracks: search.tracks, vias: search.vias, copper };
    const pushed = laid.filter((one) => clash(one, mine));
    for (const one of pushed) remember(grid, history, one);
    queue.push(...pushed.map((one) => one.job));
    laid = [...laid.filter((one) => !pushed.includes(one)), mine];
  }
  const order = layout.project.circuit.nets.map(({ name }) => name);
  laid.sort((a, b) => order.indexOf(a.job.net) - order.indexOf(b.job.net));
  return {
    tracks: [...joined, ...laid.flatMap(({ tracks }) => tracks)],
    vias: [...layout.stitches, ...laid.flatMap(({ vias }) => vias)],
  };
}

/** Where nets have pushed each other out it grows dearer, so that one of them goes elsewhere in the end. */
function remember(grid: Grid, history: Float32Array, { copper }: Laid): void {
  const map = new Uint8Array(2 * grid.area);
  for (const one of copper) grid.mark(map, one, 0);
  for (let place = 0; place < map.length; place++)
    if (map[place] === 1) history[place] = (history[place] ?? 0) + IN_THE_WAY / 2;
}
