/** Simulated time of one machine, and what is due when. Its fields are public: the run loop is hot. */

/** Something that happens once, at a time. */
export interface Alarm {
  /** `deltaNanos` from now, instead of when it was due before. */
  schedule(deltaNanos: number): void;
  cancel(): void;
}

interface Entry {
  atNanos: number;
  /** Where among those that are due; -1 for one that is not. */
  place: number;
  /** Of those that are due at once the one that was scheduled first comes first. */
  turn: number;
  readonly callback: () => void;
}

export class ChipClock {
  /** Time since the machine started. Only the run loop moves it, never beyond `nextNanos`. */
  nanos = 0;
  /** When the next alarm is due; Infinity when none is. */
  nextNanos = Number.POSITIVE_INFINITY;
  private next: Entry | null = null;
  /** A handful: to look through them costs less than to keep them in order, a thousand times a second. */
  private readonly due: Entry[] = [];
  private turns = 0;

  createAlarm(callback: () => void): Alarm {
    const entry: Entry = { atNanos: Number.POSITIVE_INFINITY, place: -1, turn: 0, callback };
    return {
      schedule: (deltaNanos) => {
        this.turns += 1;
        entry.turn = this.turns;
        entry.atNanos = this.nanos + Math.max(0, deltaNanos);
        if (entry.place < 0) entry.place = this.due.push(entry) - 1;
        if (entry === this.next) this.findNext();
        else if (entry.atNanos < this.nextNanos) this.setNext(entry);
      },
      cancel: () => this.drop(entry),
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
    while (this.next !== null && this.nextNanos <= this.nanos) {
      const { next } = this;
      this.drop(next);
      next.callback();
    }
  }

  private drop(entry: Entry): void {
    const last = this.due.at(-1);
    if (entry.place < 0 || last === undefined) return;
    this.due[entry.place] = last;
    last.place = entry.place;
    this.due.pop();
    entry.place = -1;
    if (entry === this.next) this.findNext();
  }

  private findNext(): void {
    let next: Entry | null = null;
    for (const entry of this.due) {
      const isSooner =
        next === null ||
        entry.atNanos < next.atNanos ||
        (entry.atNanos === next.atNanos && entry.turn < next.turn);
      if (isSooner) next = entry;
    }
    this.setNext(next);
  }

  private setNext(entry: Entry | null): void {
    this.next = entry;
    this.nextNanos = entry === null ? Number.POSITIVE_INFINITY : entry.atNanos;
  }
}
