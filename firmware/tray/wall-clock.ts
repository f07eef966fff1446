/** The time of day, which only a laptop knows: the board counts uptime and waits to be told. */
import { minuteOfDay } from '../../shared/units/time';

/** Time of day of one boot. */
export class WallClock {
  /** Time of day at uptime 0, Unix ms; NaN while unknown. */
  #atBootMs = Number.NaN;
  /** The same, had the board not been off before this start; 0 when unknown, or when that matters no more. */
  #offSinceMs: number;

  /** `checkpointUnixMs`: time of day at the last checkpoint before this start, 0 when unknown. */
  constructor(checkpointUnixMs: number) {
    this.#offSinceMs = checkpointUnixMs;
  }

  get known(): boolean {
    return !Number.isNaN(this.#atBootMs);
  }

  /** Time of day at `uptimeMs`, Unix ms; NaN while unknown. */
  unixMs(uptimeMs: number): number {
    return this.#atBootMs + uptimeMs;
  }

  /** Minute of the local day, 0..1439, or null while the time of day is unknown. */
  minuteOfDay(uptimeMs: number, utcOffsetMin: number): number | null {
    return this.known ? Math.floor(minuteOfDay(this.unixMs(uptimeMs), utcOffsetMin)) : null;
  }

  /** For the checkpoint, Unix ms: while the clock is unknown, an outage not yet accounted for stays behind it. */
  checkpointUnixMs(uptimeMs: number): number {
    if (this.known) return this.unixMs(uptimeMs);
    return this.#offSinceMs === 0 ? 0 : this.#offSinceMs + uptimeMs;
  }

  /** For how long the board was off before this start matters no more: no clock tells it, nor does one in a boot after this. */
  forgetOutage(): void {
    this.#offSinceMs = 0;
  }

  /** Takes the time of day. Returns for how long the board was off before this start by it, ms; 0 when unknown. */
  set(unixMs: number, uptimeMs: number): number {
    this.#atBootMs = unixMs - uptimeMs;
    return this.#offSinceMs > 0 ? Math.max(0, this.#atBootMs - this.#offSinceMs) : 0;
  }
}
