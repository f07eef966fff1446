/** Areas of copper that fill what other nets leave free: grounds, and the drains that must shed warmth. */
import { Clipper, EndType, FillRule, JoinType, type Path64, type Paths64 } from 'clipper2-ts';
import type { Point } from '../draw/svg';
import type { Copper, Layer } from './copper';
import type { Layout, Pour } from './layout';
import type { PlacedPad } from './placed';
import { COPPER } from './widths';

/** Whole numbers for the clipping library: micrometres. */
const UNIT = 1000;
/** How far an arc may be off its circle, µm. */
const ARC_UM = 25;
/** Beyond the clearance, so that the corners of arcs never fall below it, mm. */
const SLACK_MM = 0.05;
/** Corners flatter than this are left out, µm. */
const FLAT_UM = 12;
/** A pad in a pour hangs on four bridges, or no iron would melt its solder. */
export const THERMAL = { gapMm: 0.4, bridgeMm: 1 } as const;
/** Nothing of a pour is thinner, mm. */
export const THINNEST_MM = 0.3;

/** One piece of a pour: an outline without holes, the rim of each hole joined to it by a cut. */
export interface Fill {
  readonly pour: Pour;
  readonly layer: Layer;
  readonly outline: readonly Point[];
  /** The same with its holes, for checks. */
  readonly area: Paths64;
}

const toUnits = ({ x, y }: Point): { x: number; y: number } => ({
  x: Math.round(x * UNIT),
  y: Math.round(y * UNIT),
});

/** The area of a piece of copper, and so much around it. */
export function areaOf({ shapes }: Copper, by: number): Paths64 {
  const lines = shapes.map(({ from, to, radius }) =>
    Clipper.inflatePaths(
      [[toUnits(from), toUnits({ x: to.x + 1e-3, y: to.y })]],
      (radius + by) * UNIT,
      JoinType.Round,
      EndType.Round,
      2,
      ARC_UM,
    ),
  );
  return Clipper.union(lines.flat(), FillRule.NonZero);
}

const grown = (paths: Paths64, by: number): Paths64 =>
  Clipper.inflatePaths(paths, by * UNIT, JoinType.Round, EndType.Polygon, 2, ARC_UM);

/** The ring around a pad that stays free, but for its bridges. */
function relief({ at, pad, copper }: PlacedPad): Paths64 {
  const ring = Clipper.difference(
    areaOf(copper, THERMAL.gapMm),
    areaOf(copper, 0),
    FillRule.NonZero,
  );
  const half = (Math.min(THERMAL.bridgeMm, pad.width, pad.height) / 2) * UNIT;
  const long = (Math.max(pad.width, pad.height) / 2 + 2 * THERMAL.gapMm) * UNIT;
  const { x, y } = toUnits(at);
  const bar = (dx: number, dy: number): Path64 => [
    { x: x - dx, y: y - dy },
    { x: x + dx, y: y - dy },
    { x: x + dx, y: y + dy },
    { x: x - dx, y: y + dy },
  ];
  return Clipper.difference(ring, [bar(half, long), bar(long, half)], FillRule.NonZero);
}

interface Neighbours {
  readonly pads: readonly PlacedPad[];
  readonly copper: readonly Copper[];
  /** Pours that came first on this layer. */
  readonly before: readonly Fill[];
}

function filled(
  layout: Layout,
  pour: Pour,
  layer: Layer,
  { pads, copper, before }: Neighbours,
): Fill[] {
  const edge = COPPER.edgeMm + SLACK_MM;
  const inside: Path64 = [
    { x: edge, y: edge },
    { x: layout.width - edge, y: edge },
    { x: layout.width - edge, y: layout.height - edge },
    { x: edge, y: layout.height - edge },
  ].map(toUnits);
  const distance = COPPER.clearanceMm + SLACK_MM;
  const foreign = copper
    .filter((one) => one.layers.includes(layer) && one.net !== pour.net)
    .flatMap((one) => areaOf(one, distance));
  const earlier = before.flatMap((one) => grown(one.area, distance));
  const mine = pads.filter((one) => one.net === pour.net && one.copper.layers.includes(layer));
  const reliefs = mine.filter(({ pad }) => pad.drill !== null).flatMap(relief);
  const taken = Clipper.union([...foreign, ...earlier, ...reliefs], FillRule.NonZero);
  const whole = Clipper.intersect([pour.outline.map(toUnits)], [inside], FillRule.NonZero);
  const rough = Clipper.difference(whole, taken, FillRule.NonZero);
  const smooth = grown(grown(rough, -THINNEST_MM / 2), THINNEST_MM / 2);
  // What the rounding back may have added is taken off again.
  const free = Clipper.simplifyPaths(Clipper.difference(smooth, taken, FillRule.NonZero), FLAT_UM);
  const anchors = [
    ...mine.map(({ at }) => at),
    ...copper
      .filter(
        ({ net, name, layers }) =>
          net === pour.net && layers.includes(layer) && name.startsWith('via'),
      )
      .flatMap(({ shapes }) => shapes.map(({ from }) => from)),
  ].map(toUnits);
  return pieces(free)
    .filter(
      ([rim]) => rim !== undefined && anchors.some((at) => Clipper.pointInPolygon(at, rim) === 1),
    )
    .map((area) => ({ pour, layer, outline: withCuts(area), area }));
}

/** Outlines, each with its holes. */
function pieces(paths: Paths64): Paths64[] {
  const rims = paths.filter((path) => Clipper.area(path) > 0);
  const holes = paths.filter((path) => Clipper.area(path) < 0);
  const within = (hole: Path64, rim: Path64): boolean => {
    const [first] = hole;
    return first !== undefined && Clipper.pointInPolygon(first, rim) === 1;
  };
  const ofHole = holes.map((hole) => {
    const around = rims.filter((rim) => within(hole, rim));
    return around.sort((a, b) => Clipper.area(a) - Clipper.area(b))[0];
  });
  return rims.map((rim) => [rim, ...holes.filter((_, index) => ofHole[index] === rim)]);
}

const leftmost = (path: Path64): number =>
  path.reduce((best, { x }, index) => (x < (path[best]?.x ?? 0) ? index : best), 0);

/** One line around a piece: from the leftmost point of each hole a cut runs left to what is there. */
function withCuts([rim = [], ...holes]: Paths64): Point[] {
  const minX = (path: Path64): number => path[leftmost(path)]?.x ?? 0;
  let outline: Path64 = [...rim];
  for (const hole of [...holes].sort((a, b) => minX(a) - minX(b))) {
    const start = leftmost(hole);
    const from = hole[start];
    if (from === undefined) continue;
    let best = { index: -1, x: Number.NEGATIVE_INFINITY };
    outline.forEach((a, index) => {
      const b = outline[(index + 1) % outline.length] ?? a;
      if (a.y === b.y || from.y < Math.min(a.y, b.y) || from.y > Math.max(a.y, b.y)) return;
      const x = a.x + ((b.x - a.x) * (from.y - a.y)) / (b.y - a.y);
      if (x <= from.x && x > best.x) best = { index, x };
    });
    const meet = { x: Math.round(best.x), y: from.y };
    const turned = [...hole.slice(start), ...hole.slice(0, start)];
    outline = [
      ...outline.slice(0, best.index + 1),
      meet,
      ...turned,
      from,
      meet,
      ...outline.slice(best.index + 1),
    ];
  }
  return outline.map(({ x, y }) => ({ x: x / UNIT, y: y / UNIT }));
}

/** Every pour of a board, the more important ones first. */
export function pours(
  layout: Layout,
  pads: readonly PlacedPad[],
  copper: readonly Copper[],
): Fill[] {
  const fills: Fill[] = [];
  for (const pour of [...layout.pours].sort((a, b) => b.priority - a.priority)) {
    for (const layer of pour.layers) {
      const before = fills.filter((fill) => fill.layer === layer);
      fills.push(...filled(layout, pour, layer, { pads, copper, before }));
    }
  }
  return fills;
}
