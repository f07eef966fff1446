/** What a footprint is: pads, holes, body, legend. Millimetres, y downwards. */
import type { Point } from '../draw/svg';

export interface Pad {
  /** Empty for a hole without copper. */
  readonly number: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly shape: 'circle' | 'rect' | 'roundrect' | 'oval';
  /** Null for a pad on the upper side alone. */
  readonly drill: number | null;
}

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export interface Footprint {
  readonly pads: readonly Pad[];
  readonly body: Box;
  /** A round body instead of a box. */
  readonly round?: { readonly centre: Point; readonly radius: number };
  readonly courtyard: Box;
  /** Lines on the legend beside the body: polarity, flat sides, wire entries. */
  readonly marks: readonly (readonly [Point, Point])[];
  /** Letters on the legend: polarity and legs. */
  readonly letters: readonly { readonly at: Point; readonly text: string }[];
  /** Where the reference stands. */
  readonly label: Point;
}
