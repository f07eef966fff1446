/** What the server needs of a bench, whichever way it runs the firmware. */
import type { Door } from '../../shared/board/map';
import type { FaultName } from './faults';
import type { Hand } from './hand';
import type { BenchState } from './state';

/** The host's end of one link door. */
export interface LinkEnd {
  readonly door: Door;
  /** Bytes towards the board. Answers reach the listener before this returns. */
  write(bytes: Uint8Array): void;
  close(): void;
}

/** Takes bytes from the board; false when it has no room, and the board drops them. */
export type LinkListener = (bytes: Uint8Array) => boolean | undefined;

/** The host's end of the drive that a board shows while it waits for an image. */
export interface BootDriveEnd {
  /** 512 bytes, somewhere on it. */
  write(sector: Uint8Array): void;
}

export interface ServableBench {
  readonly boardId: string;
  readonly hand: Hand;
  /** Time since the bench began, ms. */
  readonly nowMs: number;
  /** Simulated time that takes well below ten milliseconds of work, ms. */
  readonly chunkMs: number;
  run(ms: number): void;
  fault(name: FaultName, on?: boolean, forMs?: number): void;
  connect(listener: LinkListener, door?: Door): LinkEnd | null;
  /** The same as long as the board waits for one image; null while it does not. */
  readonly bootDrive: BootDriveEnd | null;
  state(): BenchState;
}
