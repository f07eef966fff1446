/** What goes into an edge node, and what comes out of it. */
import type { Reading } from '../measures';
import type { Frame } from './messages';
import type { Order } from './orders';
import type { NodeName } from './topics';

export interface NodeOptions extends NodeName {
  /** Id of the host without which nothing is published; null: none is waited for. */
  readonly host: string | null;
  /** Whether orders are taken. */
  readonly orders: boolean;
  /** Names of the trays, in the order of their births. */
  readonly devices: readonly string[];
}

/** A tray as it was last seen; `reading` is null while it is not heard. */
export interface Seen {
  readonly device: string;
  readonly reading: Reading | null;
  readonly atMs: number;
}

export interface Heard {
  readonly frames: readonly Frame[];
  readonly orders: readonly { readonly device: string; readonly order: Order }[];
  /** What was refused, and why. */
  readonly refused: readonly string[];
  /** The host is gone: say goodbye with the frames, and begin anew. */
  readonly leave: boolean;
}

export const NOTHING: Heard = { frames: [], orders: [], refused: [], leave: false };
