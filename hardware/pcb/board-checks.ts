/** What a board must keep, reckoned here and not by KiCad: all pads of a net joined, and nothing else near. */
import { Clipper, FillRule } from 'clipper2-ts';
import type { Board } from './board';
import { copperOf } from './board';
import { type Copper, gapBetween } from './copper';
import type { Box } from './footprint';
import type { Load } from './layout';
import { type PlacedPad, trackCopper } from './placed';
import { areaOf, type Fill } from './pour';
import { NECK } from './route';
import { COPPER, trackMm } from './widths';

/** Rounding of coordinates, mm. */
const SLIP_MM = 0.002;

/** Groups of things that hang together. */
class Groups {
  private readonly parent: number[];

  constructor(size: number) {
    this.parent = Array.from({ length: size }, (_, index) => index);
  }

  of(index: number): number {
    const above = this.parent[index] ?? index;
    return above === index ? index : this.of(above);
  }

  join(a: number, b: number): void {
    this.parent[this.of(a)] = this.of(b);
  }
}

/** Where a piece of copper is no nearer to a fill than touching it. */
function touches(copper: Copper, fill: Fill, by = 0): boolean {
  if (!copper.layers.includes(fill.layer)) return false;
  const area = areaOf(copper, by);
  // A fill has thousands of corners, and all but those beside the copper are soon cut off.
  const near = Clipper.rectClip(Clipper.getBoundsPaths(area), fill.area);
  return Clipper.intersect(near, area, FillRule.NonZero).length > 0;
}

/** Pads of one net that are not joined by the given copper and fills. */
function apart(
  pads: readonly PlacedPad[],
  copper: readonly Copper[],
  fills: readonly Fill[],
): string[] {
  const groups = new Groups(copper.length + fills.length);
  copper.forEach((one, i) => {
    copper.slice(i + 1).forEach((two, j) => {
      if (gapBetween(one, two) < 0) groups.join(i, i + 1 + j);
    });
    fills.forEach((fill, j) => {
      if (touches(one, fill)) groups.join(i, copper.length + j);
    });
  });
  const groupOf = (pad: PlacedPad): number => groups.of(copper.indexOf(pad.copper));
  const [first] = pads;
  if (first === undefined) return [];
  return pads
    .filter((pad) => groupOf(pad) !== groupOf(first))
    .map((pad) => `${pad.copper.name} is not joined to ${first.copper.name} (${pad.net})`);
}

/** Pads that copper does not join to the rest of their net, one sentence each. */
export function unjoined(board: Board): string[] {
  const all = copperOf(board);
  const pads = board.parts.flatMap((part) => part.pads);
  return board.layout.project.circuit.nets.flatMap(({ name }) =>
    apart(
      pads.filter(({ net }) => net === name),
      all.filter(({ net }) => net === name),
      board.fills.filter(({ pour }) => pour.net === name),
    ),
  );
}

/** Copper of different nets that is too near, or too near to the edge of the board. */
export function tooNear(board: Board): string[] {
  const { width, height } = board.layout;
  const all = copperOf(board);
  const least = COPPER.clearanceMm - SLIP_MM;
  const reach = new Map(all.map((one) => [one, boxOf(one)]));
  const pairs = all.flatMap((one, i) =>
    all.slice(i + 1).flatMap((two) => {
      if (farApart(reach.get(one), reach.get(two), least)) return [];
      if (one.net !== null && one.net === two.net) return [];
      // The legs of one part are as far apart as its maker has them.
      if (partOf(one) !== null && partOf(one) === partOf(two)) return [];
      const gap = gapBetween(one, two);
      return gap < least ? [`${one.name} and ${two.name} are ${gap.toFixed(2)} mm apart`] : [];
    }),
  );
  const beyond = all
    .filter(({ net }) => net !== null)
    .filter(({ shapes }) =>
      shapes.some(({ from, to, radius }) =>
        [from, to].some(
          ({ x, y }) => Math.min(x, y, width - x, height - y) - radius < COPPER.edgeMm - SLIP_MM,
        ),
      ),
    )
    .map(({ name }) => `${name} is at the edge of the board`);
  return [...pairs, ...beyond, ...fillsTooNear(board, all)];
}

/** The box around a piece of copper. */
function boxOf({ shapes }: Copper): Box {
  const at = (pick: (shape: Copper['shapes'][number]) => readonly number[]): number[] =>
    shapes.flatMap((shape) => pick(shape));
  return {
    left: Math.min(...at(({ from, to, radius }) => [from.x - radius, to.x - radius])),
    top: Math.min(...at(({ from, to, radius }) => [from.y - radius, to.y - radius])),
    right: Math.max(...at(({ from, to, radius }) => [from.x + radius, to.x + radius])),
    bottom: Math.max(...at(({ from, to, radius }) => [from.y + radius, to.y + radius])),
  };
}

/** True when two boxes cannot hold anything nearer than `by`. */
const farApart = (a: Box | undefined, b: Box | undefined, by: number): boolean =>
  a !== undefined &&
  b !== undefined &&
  (a.left - b.right > by ||
    b.left - a.right > by ||
    a.top - b.bottom > by ||
    b.top - a.bottom > by);

const partOf = ({ name }: Copper): string | null => name.match(/^([A-Z]+\d+)\.\w+$/)?.[1] ?? null;

/** Foreign copper too near to a fill: asked of all at once, and one by one only when there is some. */
function nearTo(fill: Fill, all: readonly Copper[], least: number): Copper[] {
  const foreign = all.filter(
    ({ net, layers }) => net !== fill.pour.net && layers.includes(fill.layer),
  );
  const areas = foreign.flatMap((copper) => areaOf(copper, least));
  const clear = Clipper.intersect(fill.area, areas, FillRule.NonZero).length === 0;
  return clear ? [] : foreign.filter((copper) => touches(copper, fill, least));
}

function fillsTooNear({ fills }: Board, all: readonly Copper[]): string[] {
  const least = COPPER.clearanceMm - SLIP_MM;
  return fills.flatMap((fill, i) => [
    ...nearTo(fill, all, least).map(
      ({ name }) => `the pour of ${fill.pour.net} and ${name} are too near`,
    ),
    ...fills
      .slice(i + 1)
      .filter((other) => other.layer === fill.layer && other.pour.net !== fill.pour.net)
      .filter((other) => Clipper.intersect(fill.area, other.area, FillRule.NonZero).length > 0)
      .map((other) => `the pours of ${fill.pour.net} and ${other.pour.net} overlap`),
  ]);
}

/** Pins of a load that no copper of the width for its current joins; narrow only beside the pins themselves. */
export function tooThin(board: Board, load: Load): string[] {
  const width = trackMm(load.currentA);
  const legs = board.parts
    .flatMap((part) => part.pads)
    .filter(({ pin }) => pin !== null && load.pins.some((one) => one === pin));
  const pads = board.parts.flatMap((part) => part.pads).filter(({ net }) => net === load.net);
  const reach = NECK.reach + NECK.mm;
  const tracks = board.tracks
    .filter(({ net }) => net === load.net)
    .filter((track) => {
      if (track.width >= width - SLIP_MM) return true;
      const near = legs.some(({ at }) =>
        [track.from, track.to].every((end) => Math.hypot(end.x - at.x, end.y - at.y) < reach),
      );
      return near && track.width >= Math.min(width, STRAP_MM);
    });
  return apart(legs, [...pads.map(({ copper }) => copper), ...tracks.map(trackCopper)], []);
}

/** The narrowest that copper beside a pin may be, mm: the leg of an SO-8 is no wider. */
const STRAP_MM = 1;
