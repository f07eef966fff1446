/** What nobody has taken yet, to be told later as what it is: history. Bounded; the oldest goes first. Pure. */
import { OPEN_LIMITS } from '../../limits';
import type { Value } from '../measures';

/** Values of a tray that changed at one time; `at` is the place of the measure. */
export interface Sample {
  readonly device: string;
  readonly atMs: number;
  readonly values: readonly { readonly at: number; readonly value: Value }[];
}

interface Kept {
  sample: Sample;
  /** When it was published; null: not yet. */
  sentMs: number | null;
}

export class History {
  /** In the order in which it came. */
  #kept: Kept[] = [];
  #values = 0;
  #dropped = 0;

  constructor(private readonly most: number = OPEN_LIMITS.historyValues) {}

  /** Values that wait. */
  get waiting(): number {
    return this.#kept.reduce((sum, one) => sum + (one.sentMs === null ? sizeOf(one) : 0), 0);
  }

  /** Values that were given up, since the keeper started. */
  get dropped(): number {
    return this.#dropped;
  }

  /** Keeps what could not be published. */
  keep(sample: Sample): void {
    this.#add({ sample, sentMs: null });
  }

  /** Keeps for a while what was published: the line may have been dead already. */
  sent(sample: Sample, nowMs: number): void {
    this.#add({ sample, sentMs: nowMs });
  }

  /** What waits for a device that is born, in order of time; it counts as published from now. */
  take(isBorn: (device: string) => boolean, nowMs: number): readonly Sample[] {
    const due = this.#kept.filter(({ sample, sentMs }) => sentMs === null && isBorn(sample.device));
    for (const one of due) one.sentMs = nowMs;
    return due.map(({ sample }) => sample).sort((a, b) => a.atMs - b.atMs);
  }

  /** Forgets what was published so long ago that it has arrived. */
  forgetArrived(nowMs: number): void {
    const hasArrived = ({ sentMs }: Kept): boolean =>
      sentMs !== null && nowMs - sentMs > OPEN_LIMITS.inFlightMs;
    this.#kept = this.#kept.filter((one) => !hasArrived(one));
    this.#values = this.#kept.reduce((sum, one) => sum + sizeOf(one), 0);
  }

  /** The line broke: what was published just before may not have arrived. */
  lineBroke(nowMs: number): void {
    this.forgetArrived(nowMs);
    for (const one of this.#kept) one.sentMs = null;
  }

  /** This computer's clock was set by `byMs`: what it said before was wrong by so much. */
  clockMoved(byMs: number): void {
    this.#kept = this.#kept.map(({ sample, sentMs }) => ({
      sample: { ...sample, atMs: sample.atMs + byMs },
      sentMs: sentMs === null ? null : sentMs + byMs,
    }));
  }

  #add(kept: Kept): void {
    this.#kept.push(kept);
    this.#values += sizeOf(kept);
    while (this.#values > this.most) {
      const oldest = this.#kept.shift();
      if (oldest === undefined) return;
      this.#values -= sizeOf(oldest);
      if (oldest.sentMs === null) this.#dropped += sizeOf(oldest);
    }
  }
}

const sizeOf = ({ sample }: Kept): number => sample.values.length;
