/** Simulated time of one machine, and what is due when. Its fields are public: the run loop is hot. */

/** Something that happens once, at a time. */
export interface Alarm {
  /** `deltaNanos` from now, instead of when it was due before. */
  schedule(deltaNanos: number): void;
  cancel(): void;
}

interface Entry {
  atNanos: number;
  readonly callback: () => void;
}

export class ChipClock {
  /** Time since the machine started. Only the run loop moves it, never beyond `nextNanos`. */
  nanos = 0;
  /** When the next alarm is due; Infinity when none is. */
  nextNanos = Number.POSITIVE_INFINITY;
  /** Soonest first; a handful. */
  private readonly due: Entry[] = [];

  createAlarm(callback: () => void): Alarm {
    const entry: Entry = { atNanos: 0, callback };
    return {
      schedule: (deltaNanos) => {
        this.remove(entry);
        entry.atNanos = this.nanos + Math.max(0, deltaNanos);
        const at = this.due.findIndex((other) => other.atNanos > entry.atNanos);
        this.due.splice(at < 0 ? this.due.length : at, 0, entry);
        this.refresh();
      },
      cancel: () => {
        this.remove(entry);
        this.refresh();
      },
    };
  }

  /** Moves time on, calling what becomes due on the way, each at its own time. */
  tick(deltaNanos: number): void {
    const untilNanos = this.nanos + deltaNanos;
    while (this.nextNanos <= untilNanos) {
      this.nanos = Math.max(this.nanos, this.nextNanos);
      this.fire();
    }
    this.nanos = untilNanos;
  }

  /** Calls what is due now. */
  fire(): void {
    while (this.nextNanos <= this.nanos) {
      const entry = this.due.shift();
      this.refresh();
      entry?.callback();
    }
  }

  private remove(entry: Entry): void {
    const at = this.due.indexOf(entry);
    if (at >= 0) this.due.splice(at, 1);
  }

  private refresh(): void {
    this.nextNanos = this.due[0]?.atNanos ?? Number.POSITIVE_INFINITY;
  }
}
