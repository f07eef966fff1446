/** Time as timer and watchdog count it: by the tick that they share, which goes as fast as what makes it. */
import type { Alarm, ChipClock } from './clock';

interface Entry {
  atNanos: number;
  readonly alarm: Alarm;
}

export class TickClock {
  private ratio = 0;
  private countedNanos = 0;
  private sinceNanos = 0;
  private readonly entries: Entry[] = [];

  constructor(private readonly clock: ChipClock) {}

  /** What has been counted, in nanoseconds of a tick that is right. */
  get nanos(): number {
    return this.countedNanos + (this.clock.nanos - this.sinceNanos) * this.ratio;
  }

  /** How fast it goes: 1 is right, 0 stands still. */
  set rate(ratio: number) {
    if (ratio === this.ratio) return;
    this.countedNanos = this.nanos;
    this.sinceNanos = this.clock.nanos;
    this.ratio = ratio;
    for (const entry of this.entries) this.follow(entry);
  }

  createAlarm(callback: () => void): Alarm {
    const entry: Entry = {
      atNanos: Number.POSITIVE_INFINITY,
      alarm: this.clock.createAlarm(() => {
        entry.atNanos = Number.POSITIVE_INFINITY;
        callback();
      }),
    };
    this.entries.push(entry);
    return {
      schedule: (deltaNanos) => {
        entry.atNanos = this.nanos + Math.max(0, deltaNanos);
        this.follow(entry);
      },
      cancel: () => {
        entry.atNanos = Number.POSITIVE_INFINITY;
        this.follow(entry);
      },
    };
  }

  private follow({ atNanos, alarm }: Entry): void {
    if (this.ratio === 0 || atNanos === Number.POSITIVE_INFINITY) alarm.cancel();
    else alarm.schedule((atNanos - this.nanos) / this.ratio);
  }
}
