/** A whole board: parts at their places, tracks, pours. */
import type { Copper } from './copper';
import type { Layout } from './layout';
import { type PlacedPart, placedParts, screws, trackCopper } from './placed';
import { type Fill, pours } from './pour';
import { type Routed, route, viaCopper } from './route';

export interface Board extends Routed {
  readonly layout: Layout;
  readonly parts: readonly PlacedPart[];
  readonly fills: readonly Fill[];
}

/** Every piece of copper but the pours, and the heads of the screws. */
export const copperOf = ({ layout, parts, tracks, vias }: Omit<Board, 'fills'>): Copper[] => [
  ...parts.flatMap(({ pads }) => pads.map(({ copper }) => copper)),
  ...tracks.map(trackCopper),
  ...vias.map(viaCopper),
  ...screws(layout),
];

function make(layout: Layout): Board {
  const parts = placedParts(layout);
  const routed = { layout, parts, ...route(layout) };
  const pads = parts.flatMap((part) => part.pads);
  return { ...routed, fills: pours(layout, pads, copperOf(routed)) };
}

const made = new WeakMap<Layout, Board>();

/** The board of a layout; the same one each time, for laying its tracks takes seconds. */
export function boardOf(layout: Layout): Board {
  const board = made.get(layout) ?? make(layout);
  made.set(layout, board);
  return board;
}
