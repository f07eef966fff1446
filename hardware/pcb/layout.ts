/** Where the parts of a board stand, and what its copper is asked for. Places of pad 1, or of the middle of an SO-8. */
import type { PinRef } from '../circuit/kinds';
import type { NetName } from '../circuit/nets';
import type { Point } from '../draw/svg';
import type { Layer } from './copper';
import type { Project } from './projects';

/** Millimetres from the board's upper left corner; turned counter-clockwise, as KiCad does. */
export type Spot = readonly [x: number, y: number, turn: 0 | 90 | 180 | 270];

/** What a net carries, and between which pins. Its other pins are taps: test points, resistors. */
export interface Load {
  readonly net: NetName;
  /** Rating of the fuse before it, or what can flow at most. */
  readonly currentA: number;
  readonly pins: readonly PinRef[];
}

export interface Pour {
  readonly net: NetName;
  readonly layers: readonly Layer[];
  readonly outline: readonly Point[];
  /** The higher one takes the room where two overlap. */
  readonly priority: number;
}

export interface Reserved {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly nets: readonly NetName[];
}

export interface Words {
  readonly at: Point;
  readonly text: string;
  readonly size?: number;
  readonly anchor?: 'left' | 'right';
  readonly turn?: number;
}

export interface Layout {
  readonly project: Project;
  readonly width: number;
  readonly height: number;
  readonly parts: Readonly<Record<string, Spot>>;
  readonly holes: readonly Point[];
  readonly loads: readonly Load[];
  readonly pours: readonly Pour[];
  /** Vias that join a pour on both sides, beside pads that are on one. */
  readonly stitches: readonly { readonly net: NetName; readonly at: Point }[];
  /** Where tracks of other nets than these must not run. */
  readonly reserved: readonly Reserved[];
  readonly words: readonly Words[];
  /** Where the name of the board, its revision and date stand. */
  readonly title: Point;
}

export const rectangle = (left: number, top: number, right: number, bottom: number): Point[] => [
  { x: left, y: top },
  { x: right, y: top },
  { x: right, y: bottom },
  { x: left, y: bottom },
];
