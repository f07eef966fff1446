/**
 * The one seam to the hardware. Three things stand behind it: the C runtime on the chip, the bench,
 * and test doubles. Nothing else in `firmware/` may touch a pin, a clock or the flash.
 */
import type { Door } from '../shared/board/map';
import type { MatLooked, ResetCause } from '../shared/board/words';

export interface Board {
  /** Milliseconds since this boot: whole, never decreasing. */
  clockMs(): number;
  /** Why the board started this time. */
  resetCause(): ResetCause;
  /** A number that helps explain `resetCause` (fault address, abort status, broken invariant), 0 when none. */
  resetDetail(): number;
  /** Sixteen lower-case hex digits, unique to this board. */
  boardId(): string;

  /**
   * Tells the limiter the codes of a probe that is not the reference one: too hot below `hotCode`, open above
   * `openCode`, short below `shortCode`. Once a probe and start, before the controller is made and anything leased:
   * afterwards it is refused (false), and what holds goes on to hold. Codes that no probe has (`areLimiterCodes`) are
   * refused, and the mat stays off until the next start. What was not told is the reference probe.
   */
  limitProbe(channel: number, hotCode: number, openCode: number, shortCode: number): boolean;
  /** Mean ADC code of a probe, 0..4095, may have a fraction. `channel`: see `PROBES`. */
  readProbe(channel: number): number;
  /** The newest raw bridge code not read before (-2^23..2^23-1), or NaN when there is none yet. */
  readScale(): number;

  /**
   * Whether the mat's fuse, lead and switch were looked at since this was last asked, and when. A look is made soon after
   * the mat is switched on, again a moment later, so every `MAT_LOOK.everyMs`, and when it is let go; none without a supply.
   */
  takeMatLook(): MatLooked;
  /** Mean ADC code of the sense line in the look taken last, 0..4095: with the mat's own switch closed, or open. */
  matLookCode(closed: boolean): number;

  /** Mat on for the next `ms` milliseconds, at most `MAT_LEASE_MAX_MS`; 0 switches it off now. */
  leaseMat(ms: number): void;
  /** Pump on for the next `ms` milliseconds, at most `PUMP_LEASE_MAX_MS`; 0 switches it off now. */
  leasePump(ms: number): void;
  /** Bits of `OUTPUT` (`shared/board/words.ts`). */
  outputs(): number;
  setSounder(on: boolean): void;
  setLamp(on: boolean): void;

  /** Copies `into.length` bytes of flash, from `offset`, into `into`. */
  flashRead(offset: number, into: Uint8Array): void;
  /** NOR program: clears bits only, inside one page. False when the chip reports or shows failure. */
  flashProgram(offset: number, bytes: Uint8Array): boolean;
  /** Sets one whole sector to FFh. `offset` is a multiple of the sector size. False on failure. */
  flashErase(offset: number): boolean;

  /** Queues bytes on a door. False when nobody listens or the queue is full: the bytes are dropped. */
  send(door: Door, bytes: Uint8Array): boolean;
  /** Restarts the board; outputs off first. Does not return on the chip. */
  restart(): void;
  /**
   * Outputs off, then the boot drive of the chip's own ROM in place of the firmware, until it has an image or loses its
   * supply: no watchdog ends that. Does not return on the chip.
   */
  enterBootDrive(): void;
}
