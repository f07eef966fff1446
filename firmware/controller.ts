/** What the firmware is to the layer that runs it: its entry points, called from one thread. */
import type { Door } from '../shared/board/map';

export interface Controller {
  /** One control tick; called about once a second (the outputs' leases need 2 s at most). */
  tick(): void;
  /** What may take long and no tick should wait for: erasing flash ahead of need. After each tick. */
  rest(): void;
  /** Bytes that arrived on a door, in any pieces. Replies leave through `Board.send`. */
  receive(door: Door, bytes: Uint8Array): void;
}
