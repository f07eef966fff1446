/**
 * What goes into the holes: sizes of the usual makes, mm, from memory. Outside and inside are diameters of all that
 * turns there: flange, coupling ring and cap; nut across its corners. The part that was bought is measured first.
 */
import {
  GLAND_SEALS_MM,
  PLUG_HOLE_MM,
  PLUG_SEALS_MM,
  type PlugFamily,
  type Span,
} from '../circuit/plugs';

export interface Fit {
  readonly holeMm: number;
  readonly outsideMm: number;
  readonly insideMm: number;
  /** From the inner side of the wall inwards, with the bend of its leads. */
  readonly reachMm: number;
  /** Whether it may sit in a wall down which drops run, or in the bottom alone, where they fall off. */
  readonly faces: 'bottom' | 'standing';
  /** What round lead it seals on, mm; absent where none passes. */
  readonly sealsMm?: Span;
}

const plug = (family: PlugFamily, outsideMm: number, insideMm: number): Fit => ({
  holeMm: PLUG_HOLE_MM[family],
  outsideMm,
  insideMm,
  reachMm: 35,
  faces: 'bottom',
  sealsMm: PLUG_SEALS_MM[family],
});

/** Bare standoffs of the purchase list. */
export const STANDOFF_MM = 10;

/** Sound passes a film, water does not; the hole is no wider than the sounder's own. */
const SOUND_HOLE_MM = 8;

export const FITS = {
  'dc-inlet': plug('dc-inlet', 27, 29),
  'round-2-pole-a': plug('round-2-pole-a', 19, 20),
  'round-2-pole-b': plug('round-2-pole-b', 23, 25),
  gland: {
    holeMm: 12.5,
    outsideMm: 18,
    insideMm: 19,
    reachMm: 30,
    faces: 'bottom',
    sealsMm: GLAND_SEALS_MM,
  },
  vent: {
    holeMm: 12.5,
    outsideMm: 18,
    insideMm: 19,
    reachMm: 12,
    faces: 'bottom',
  },
  usb: {
    holeMm: 22,
    outsideMm: 30,
    insideMm: 30,
    reachMm: 45,
    // Closed by its cap.
    faces: 'standing',
  },
  sounder: {
    holeMm: SOUND_HOLE_MM,
    outsideMm: 14,
    insideMm: 32,
    reachMm: 15,
    // Closed by a thin film between lid and sounder.
    faces: 'standing',
  },
  'light-pipe': {
    holeMm: 3,
    outsideMm: 5,
    insideMm: 8,
    reachMm: 75,
    // Glued.
    faces: 'standing',
  },
  standoff: {
    holeMm: 3.2,
    outsideMm: 8,
    insideMm: 6.4,
    reachMm: STANDOFF_MM,
    // Closed by a sealing washer under the screw.
    faces: 'standing',
  },
} as const satisfies Readonly<Record<PlugFamily | string, Fit>>;
export type FitName = keyof typeof FITS;

export const fitOf = (name: FitName): Fit => FITS[name];
