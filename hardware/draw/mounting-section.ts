/** What stands where in the section of the mounting: millimetres on the sheet, not to scale. */
import type { Point } from './svg';

/** A part as the box round its section. Downwards is larger. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export const p = (x: number, y: number): Point => ({ x, y });

/** Left edge of the platform: all else is measured from here. */
const LEFT = 78;
/** Heights from the lid down to the bench. */
const Y = {
  lidTop: 58,
  trayTop: 88,
  matTop: 114,
  foamTop: 117,
  plateTop: 127,
  plateUnder: 131,
  cellTop: 137,
  cellUnder: 148,
  baseTop: 154,
  baseUnder: 160,
  dripRim: 165,
  water: 169,
  dripFloor: 184,
  bench: 186,
} as const;

/** From `from` to `to`, both measured from the left edge of the platform. */
const box = (from: number, to: number, top: number, bottom: number): Box => ({
  left: LEFT + from,
  right: LEFT + to,
  top,
  bottom,
});

/** A bolt through the cell, from above its head to below its end. */
const bolt = (at: number, top: number, bottom: number): Box => box(at, at, top, bottom);

/** Gap of a stop under the empty platform, as it is drawn: far larger than it is. */
const STOP_GAP = 1.1;
const stopAt = (at: number) => ({
  screw: box(at - 1.4, at + 1.4, Y.plateUnder + STOP_GAP + 0.1, Y.baseUnder + 2),
  lockNut: box(at - 3, at + 3, Y.baseTop - 2.4, Y.baseTop),
  head: box(at - 2.2, at + 2.2, Y.plateUnder + STOP_GAP, Y.plateUnder + STOP_GAP + 1.6),
});

const POST = 156;

export const SECTION = {
  bench: box(-14, 166, Y.bench, Y.bench + 3),
  /** Outer width at the rim. */
  dripTray: box(-6, 140, Y.dripRim, Y.dripFloor),
  waterY: Y.water,

  feet: [box(12, 19, Y.baseUnder, Y.dripFloor), box(115, 122, Y.baseUnder, Y.dripFloor)],
  base: box(8, 126, Y.baseTop, Y.baseUnder),
  stops: [stopAt(27), stopAt(111)],

  /** The end that sits on the base, the cell, and the end that carries the platform. */
  fixedSpacer: box(42, 56, Y.cellUnder, Y.baseTop),
  cell: box(42, 92, Y.cellTop, Y.cellUnder),
  freeSpacer: box(78, 92, Y.plateUnder, Y.cellTop),
  fixedBolts: [
    bolt(46, Y.cellTop - 2, Y.baseUnder + 1.5),
    bolt(52, Y.cellTop - 2, Y.baseUnder + 1.5),
  ],
  freeBolts: [bolt(82, Y.plateTop - 1, Y.cellUnder + 2), bolt(88, Y.plateTop - 1, Y.cellUnder + 2)],

  platform: box(0, 134, Y.plateTop, Y.plateUnder),
  /** Its edges, bent down. */
  lips: [box(0, 1.6, Y.plateTop, Y.plateTop + 9), box(132.4, 134, Y.plateTop, Y.plateTop + 9)],
  foam: box(8, 126, Y.foamTop, Y.plateTop),
  mat: box(10, 124, Y.matTop, Y.foamTop),
  /** Outer width at the rim. */
  tray: box(8, 126, Y.trayTop, Y.matTop - 0.6),
  lid: box(12, 122, Y.lidTop, Y.trayTop - 0.6),

  post: box(POST, POST + 3, 84, Y.bench),
  platformClamp: box(127, 132, Y.foamTop - 2.5, Y.foamTop + 0.5),
  postClamp: box(POST - 2, POST + 5, Y.foamTop - 5, Y.foamTop - 2),
  /** Lead of the cell, on the base. */
  baseClamp: box(24, 30, Y.baseTop - 2.4, Y.baseTop),
  /** Where the end of the feed tube hangs. */
  feedEnd: p(LEFT + 110, 80),
  /** Lowest points of the loop between the clamps, and of the cell's lead before the enclosure. */
  leadLoop: p(LEFT + 144, Y.foamTop + 18),
  dripLoop: p(LEFT - 9, 182),
  /** There the cell's lead goes on to the enclosure. */
  cellLeadEnd: p(LEFT - 12, 142),
} as const;
