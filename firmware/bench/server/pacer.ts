/**
 * Moves a bench's time along: at a chosen speed against the wall clock, or as fast as it goes for a
 * stated run. Works in slices, so that the link and the door are served in between.
 */
import type { Bench } from '../bench';

/** Time one slice may take before others get their turn, ms. */
const SLICE_MS = 8;
/** Simulated time between two looks at the wall clock, ms: well below a millisecond of work. */
const CHUNK_MS = 500_000;
/** Pause between slices while time only has to keep pace, ms. */
const PACE_MS = 20;
/** A bench that cannot keep up, or a laptop that slept, catches up by no more than this, ms of wall clock. */
const DEBT_MAX_MS = 250;
/** Paced time moves by whole ticks: what a run does must not hang on the wall clock's jitter. */
const TICK_MS = 1000;

interface Run {
  untilMs: number;
  done(): void;
}

export class Pacer {
  private times = 0;
  private owedMs = 0;
  private lastWallMs = 0;
  private readonly runs: Run[] = [];
  private waiting: NodeJS.Timeout | null = null;
  private turning: NodeJS.Immediate | null = null;
  private stopped = false;

  /** `wallMs` is a monotonic clock. */
  constructor(
    private readonly bench: Bench,
    private readonly wallMs: () => number,
  ) {}

  /** Simulated seconds a second. */
  get speed(): number {
    return this.times;
  }

  setSpeed(times: number): void {
    this.times = times;
    this.owedMs = 0;
    this.lastWallMs = this.wallMs();
    this.wake();
  }

  /** Runs `ms` of simulated time as fast as it goes; resolves when it is over, or at `stop`. */
  run(ms: number): Promise<void> {
    return new Promise((done) => {
      const last = this.runs.at(-1);
      this.runs.push({ untilMs: (last?.untilMs ?? this.bench.nowMs) + ms, done });
      this.wake();
    });
  }

  stop(): void {
    this.stopped = true;
    if (this.waiting !== null) clearTimeout(this.waiting);
    if (this.turning !== null) clearImmediate(this.turning);
    for (const run of this.runs.splice(0)) run.done();
  }

  private wake(): void {
    if (this.waiting !== null) clearTimeout(this.waiting);
    this.waiting = null;
    if (this.stopped || this.turning !== null) return;
    this.turning = setImmediate(() => {
      this.turning = null;
      this.turn();
    });
  }

  private turn(): void {
    const [run] = this.runs;
    if (run !== undefined) {
      this.slice(run.untilMs);
      if (this.bench.nowMs >= run.untilMs) {
        this.runs.shift();
        run.done();
      }
      this.lastWallMs = this.wallMs();
      this.wake();
    } else if (this.times > 0) {
      this.pace();
    }
  }

  private pace(): void {
    const wallMs = this.wallMs();
    this.owedMs += Math.min(wallMs - this.lastWallMs, DEBT_MAX_MS) * this.times;
    this.lastWallMs = wallMs;
    const startMs = this.bench.nowMs;
    this.slice(startMs + Math.floor(this.owedMs / TICK_MS) * TICK_MS);
    this.owedMs -= this.bench.nowMs - startMs;
    this.owedMs = Math.min(this.owedMs, DEBT_MAX_MS * this.times + TICK_MS);
    if (this.owedMs >= TICK_MS) this.wake();
    else this.waiting = setTimeout(() => this.wake(), PACE_MS);
  }

  /** Simulates up to `untilMs`, or as far as one slice goes. */
  private slice(untilMs: number): void {
    const endWallMs = this.wallMs() + SLICE_MS;
    while (this.bench.nowMs < untilMs) {
      this.bench.run(Math.min(CHUNK_MS, untilMs - this.bench.nowMs));
      if (this.wallMs() >= endWallMs) return;
    }
  }
}
