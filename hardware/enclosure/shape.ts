/**
 * The enclosure as a body in space, seen from the front as it hangs: millimetres from its left, its bottom and its back
 * (the wall it hangs on), all measured from the outer edges.
 */

export const AXES = ['left', 'bottom', 'back'] as const;
/** Millimetres from the left, the bottom and the back. */
export type Spot = readonly [left: number, bottom: number, back: number];
type Axis = 0 | 1 | 2;

/** A box in space: its corner nearest to left, bottom and back, and the opposite one. */
export interface Room {
  readonly what: string;
  readonly from: Spot;
  readonly to: Spot;
}

export interface Shape {
  /** Outer size from left to right, from bottom to top, from back to lid. */
  readonly sizeMm: Spot;
  readonly wallMm: number;
  /** How deep the body is without its lid: no hole in a wall lies beyond that. */
  readonly bodyMm: number;
  /** Side of the square posts of the lid's screws in the four corners, from the inner walls. */
  readonly postMm: number;
}

/**
 * The one size in which both builds have room: two boards side by side with the bend of their wires beside them, and
 * the plugs before them. 300 x 220 x 120 mm is common among junction boxes (from memory).
 */
export const SHAPE: Shape = { sizeMm: [300, 220, 120], wallMm: 3, bodyMm: 90, postMm: 12 };

/** A face: which axis it closes, at which end of it, and the two edges that its holes are measured from. */
interface FaceShape {
  readonly title: string;
  readonly axis: Axis;
  readonly far: boolean;
  readonly across: Axis;
  readonly up: Axis;
}

export const FACES = {
  bottom: { title: 'bottom', axis: 1, far: false, across: 0, up: 2 },
  right: { title: 'right wall', axis: 0, far: true, across: 2, up: 1 },
  lid: { title: 'lid', axis: 2, far: true, across: 0, up: 1 },
  back: { title: 'back', axis: 2, far: false, across: 0, up: 1 },
  left: { title: 'left wall', axis: 0, far: false, across: 2, up: 1 },
  top: { title: 'top', axis: 1, far: true, across: 0, up: 2 },
} as const satisfies Readonly<Record<string, FaceShape>>;
export type Face = keyof typeof FACES;

/** What a face measures, mm: across and up. */
export const faceSize = ({ sizeMm }: Shape, face: Face): readonly [number, number] => {
  const { across, up } = FACES[face];
  return [sizeMm[across], sizeMm[up]];
};

/** The air within the walls. */
export const inner = ({ sizeMm: [width, height, depth], wallMm }: Shape): Room => ({
  what: 'the enclosure',
  from: [wallMm, wallMm, wallMm],
  to: [width - wallMm, height - wallMm, depth - wallMm],
});

/** The posts of the lid's screws. */
export function posts(shape: Shape): Room[] {
  const { from, to } = inner(shape);
  const starts = [0, 1] as const;
  const start = (axis: 0 | 1, far: 0 | 1): number =>
    far === 0 ? from[axis] : to[axis] - shape.postMm;
  return starts.flatMap((right) =>
    starts.map((top): Room => {
      const [left, bottom] = [start(0, right), start(1, top)];
      return {
        what: 'a post of the lid',
        from: [left, bottom, from[2]],
        to: [left + shape.postMm, bottom + shape.postMm, to[2]],
      };
    }),
  );
}

/** Whether two rooms come nearer to each other than `apartMm`. */
export const meet = (a: Room, b: Room, apartMm = 0): boolean =>
  ([0, 1, 2] as const).every(
    (axis) => a.from[axis] < b.to[axis] + apartMm && b.from[axis] < a.to[axis] + apartMm,
  );

export const within = (a: Room, whole: Room): boolean =>
  ([0, 1, 2] as const).every(
    (axis) => a.from[axis] >= whole.from[axis] && a.to[axis] <= whole.to[axis],
  );
