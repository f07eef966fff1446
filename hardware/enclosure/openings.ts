/** The list of holes: each with its face, its place on it, and what goes into it. */
import type { OfProbes } from '../../shared/board/probes';
import { PROBE_NAMES } from '../../shared/board/probes';
import { PROBE_CIRCUITS } from '../circuit/probes';
import type { BuildName } from './builds';
import { type Fit, type FitName, fitOf } from './fits';
import { AXES, FACES, type Face, type Room, type Shape, type Spot } from './shape';

export interface Opening {
  /** Letter on the drawing. Standoffs have none. */
  readonly mark: string;
  readonly face: Face;
  /** Middle, mm from the two edges that the face is measured from (`FACES`). */
  readonly across: number;
  readonly up: number;
  readonly fit: FitName;
  /** Part of the circuit that sits there, or whose lead passes; null for what is no part. */
  readonly part: string | null;
  readonly words: string;
  /** Only in this build; else in both. */
  readonly build?: BuildName;
}

/** Plugs, glands and vent stand in one row, before the boards and within the body. */
const ROW_MM = 68;

const below = (
  mark: string,
  across: number,
  fit: FitName,
  part: string | null,
  words: string,
): Opening => ({ mark, face: 'bottom', across, up: ROW_MM, fit, part, words });

const GLANDS: OfProbes<{ readonly mark: string; readonly across: number }> = {
  rootZone: { mark: 'E', across: 185 },
  mat: { mark: 'F', across: 215 },
};

/** Load leads at the left, below the power board; leads of the senses at the right, below theirs. */
export const OPENINGS: readonly Opening[] = [
  below('A', 40, 'dc-inlet', 'J1', 'supply inlet'),
  below('B', 80, 'round-2-pole-a', 'J2', 'mat'),
  below('C', 115, 'round-2-pole-b', 'J3', 'pump'),
  below('D', 150, 'vent', null, 'vent, and drain of what condenses'),
  ...PROBE_NAMES.map((name) => {
    const { mark, across } = GLANDS[name];
    const { probe, marked } = PROBE_CIRCUITS[name];
    return below(mark, across, 'gland', probe, `lead of the ${marked.toLowerCase()}`);
  }),
  below('G', 245, 'gland', 'LC1', 'lead of the load cell'),
  {
    mark: 'H',
    face: 'right',
    across: ROW_MM,
    up: 110,
    fit: 'usb',
    part: 'A1',
    words: 'USB of the controller',
  },
  {
    mark: 'K',
    face: 'lid',
    across: 75,
    up: 155,
    fit: 'sounder',
    part: 'LS1',
    words: 'sounder',
  },
  {
    mark: 'L',
    face: 'lid',
    across: 200,
    up: 155,
    fit: 'light-pipe',
    part: 'LED1',
    words: 'lamp, ordered boards',
    build: 'ordered',
  },
  {
    mark: 'M',
    face: 'lid',
    across: 254,
    up: 196,
    fit: 'light-pipe',
    part: 'LED1',
    words: 'lamp, strip boards',
    build: 'strip',
  },
];

/** Holes of one build. */
export const openingsFor = (openings: readonly Opening[], build: BuildName): Opening[] =>
  openings.filter((opening) => (opening.build ?? build) === build);

/** `A (J1)`; the part alone for what has no letter. */
export const nameOf = ({ mark, part, words }: Opening): string =>
  `${mark === '' ? '' : `${mark}: `}${part === null ? '' : `${part}, `}${words}`;

/** Where a hole is: `40 mm from the left and 68 mm from the back`. */
export function placeWords({ face, across, up }: Opening): string {
  const { across: a, up: b } = FACES[face];
  return `${across} mm from the ${AXES[a]}, ${up} mm from the ${AXES[b]}`;
}

/** What a part in its hole takes up inside, from the inner side of the wall. */
export function bodyOf(shape: Shape, opening: Opening): Room {
  const { insideMm, reachMm }: Fit = fitOf(opening.fit);
  const { axis, far, across, up } = FACES[opening.face];
  const size = shape.sizeMm[axis];
  const [start, end] = far
    ? [size - shape.wallMm - reachMm, size - shape.wallMm]
    : [shape.wallMm, shape.wallMm + reachMm];
  const from: [number, number, number] = [0, 0, 0];
  const to: [number, number, number] = [0, 0, 0];
  for (const [along, low, high] of [
    [axis, start, end],
    [across, opening.across - insideMm / 2, opening.across + insideMm / 2],
    [up, opening.up - insideMm / 2, opening.up + insideMm / 2],
  ] as const) {
    from[along] = low;
    to[along] = high;
  }
  return { what: nameOf(opening), from: from satisfies Spot, to: to satisfies Spot };
}
