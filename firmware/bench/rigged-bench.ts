/** What both benches do alike, whichever way they run the firmware: time, mains and faults of the rig. */
import type { FaultName } from './faults';
import type { Hand } from './hand';
import type { Rig } from './rig';

const LOOK_MS = 1000;

export abstract class RiggedBench {
  abstract readonly rig: Rig;

  /** Simulates `ms` milliseconds. */
  abstract run(ms: number): void;
  /** The board has mains, or has lost them: the rig's faults say. */
  protected abstract followMains(): void;

  /** The grower's actions. */
  get hand(): Hand {
    return this.rig.hand;
  }

  /** Time since the bench began, ms, power cuts included. */
  get nowMs(): number {
    return this.rig.plant.nowMs;
  }

  /** Runs until `done` says so, looking once a second; false when `limitMs` went by first. */
  runUntil(done: (bench: this) => boolean, limitMs: number): boolean {
    const endMs = this.nowMs + limitMs;
    while (!done(this)) {
      if (this.nowMs >= endMs) return false;
      this.run(LOOK_MS);
    }
    return true;
  }

  /** Calls a fault up, for a time or until called off; `mains-cut` takes effect at once. */
  fault(name: FaultName, on = true, forMs?: number): void {
    this.rig.fault(name, on, forMs);
    this.followMains();
  }

  cutPower(): void {
    this.fault('mains-cut', true);
  }

  restorePower(): void {
    this.fault('mains-cut', false);
  }
}
