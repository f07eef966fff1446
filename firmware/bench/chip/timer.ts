/** The timer, of which the image uses the count and the first two of four alarms (RP2040 data sheet 4.6). */
import { BasePeripheral, type RP2040 } from 'rp2040js';
import { ImageError } from './bus';
import type { TickClock } from './tick-clock';

const ALARM0 = 0x10;
const ALARM1 = 0x14;
const TIMERAWH = 0x24;
const TIMERAWL = 0x28;
const INTR = 0x34;
const INTE = 0x38;
/** Alarm n is bit n, and makes interrupt n. */
const ALARMS = [0, 1] as const;
const NANOS_PER_COUNT = 1000;
/** Crystals are better by a hundred times; a divider that is one off is not. */
const TICK_TOLERANCE = 0.01;

export class Timer extends BasePeripheral {
  private mask = 0;
  private raised = 0;
  private readonly alarms;

  /** `tickMhz`: what the tick is meant to be, as the image has set it up. */
  constructor(
    private readonly chip: RP2040,
    private readonly clock: TickClock,
    private readonly tickMhz: () => number,
  ) {
    super(chip, 'TIMER');
    this.alarms = ALARMS.map((n) =>
      clock.createAlarm(() => {
        this.raised |= 1 << n;
        this.update();
      }),
    );
  }

  override readUint32(offset: number): number {
    switch (offset) {
      case TIMERAWH:
        return Math.floor(this.count / 2 ** 32);
      case TIMERAWL:
        return this.count >>> 0;
      case INTR:
        return this.raised;
      case INTE:
        return this.mask;
      default:
        return super.readUint32(offset);
    }
  }

  override writeUint32(offset: number, value: number): void {
    switch (offset) {
      case ALARM0:
      case ALARM1:
        this.mustTick();
        this.alarms[(offset - ALARM0) / 4]?.schedule(
          ((value - this.count) >>> 0) * NANOS_PER_COUNT,
        );
        return;
      case INTR:
        this.raised &= ~this.rawWriteValue;
        this.update();
        return;
      case INTE:
        this.mask = value;
        this.update();
        return;
      default:
        super.writeUint32(offset, value);
    }
  }

  private get count(): number {
    return this.clock.nanos / NANOS_PER_COUNT;
  }

  private mustTick(): void {
    const mhz = this.tickMhz();
    if (Math.abs(mhz - 1) > TICK_TOLERANCE) {
      throw new ImageError(`An alarm of the timer, whose tick is ${mhz.toFixed(2)} MHz.`);
    }
  }

  private update(): void {
    for (const n of ALARMS) this.chip.setInterrupt(n, (this.raised & this.mask & (1 << n)) !== 0);
  }
}
