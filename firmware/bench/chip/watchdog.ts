/** The watchdog, with erratum RP2040-E1 and scratch registers that outlive the restart it makes. */
import { BasePeripheral, type RP2040 } from 'rp2040js';
import type { TickClock } from './tick-clock';

const CTRL = 0x00;
const LOAD = 0x04;
const REASON = 0x08;
const SCRATCH0 = 0x0c;
const TICK = 0x2c;
const CTRL_TRIGGER = 1 << 31;
const CTRL_ENABLE = 1 << 30;
const TICK_ENABLE = 1 << 9;
const TICK_RUNNING = (1 << 10) | TICK_ENABLE;
const TICK_CYCLES_MASK = 0x1ff;
const LOAD_MASK = 0xffffff;
/** Counts down twice per microsecond. */
const NANOS_PER_COUNT = 500;
const SCRATCH_WORDS = 8;

/** What REASON tells after the restart. */
export const WATCHDOG_REASON = { none: 0, timer: 1, force: 2 } as const;

/** What outlives a restart by the watchdog. */
export interface WatchdogMemory {
  readonly scratch: Uint32Array;
  readonly reason: number;
}

export const COLD: WatchdogMemory = {
  scratch: new Uint32Array(SCRATCH_WORDS),
  reason: WATCHDOG_REASON.none,
};

export class Watchdog extends BasePeripheral {
  readonly scratch: Uint32Array;
  /** The tick that it makes for itself and the timer: so many cycles of the reference, 0 for none. */
  onTick: (cycles: number) => void = () => {};
  private enabled = false;
  private cycles = 0;
  private load = 0;
  private readonly alarm;

  constructor(
    chip: RP2040,
    clock: TickClock,
    private readonly memory: WatchdogMemory,
    private readonly bite: (memory: WatchdogMemory) => void,
  ) {
    super(chip, 'WATCHDOG');
    this.scratch = Uint32Array.from(memory.scratch);
    this.alarm = clock.createAlarm(() => this.trigger(WATCHDOG_REASON.timer));
  }

  override readUint32(offset: number): number {
    if (offset >= SCRATCH0 && offset < SCRATCH0 + 4 * SCRATCH_WORDS) {
      return this.scratch[(offset - SCRATCH0) >> 2] ?? 0;
    }
    switch (offset) {
      case CTRL:
        return this.enabled ? CTRL_ENABLE : 0;
      case REASON:
        return this.memory.reason;
      case TICK:
        return this.cycles === 0 ? 0 : TICK_RUNNING | this.cycles;
      default:
        return super.readUint32(offset);
    }
  }

  override writeUint32(offset: number, value: number): void {
    if (offset >= SCRATCH0 && offset < SCRATCH0 + 4 * SCRATCH_WORDS) {
      this.scratch[(offset - SCRATCH0) >> 2] = value;
      return;
    }
    switch (offset) {
      case CTRL:
        this.enabled = (value & CTRL_ENABLE) !== 0;
        if ((value & CTRL_TRIGGER) !== 0) this.trigger(WATCHDOG_REASON.force);
        else this.arm();
        return;
      case LOAD:
        this.load = value & LOAD_MASK;
        this.arm();
        return;
      case TICK:
        this.cycles = (value & TICK_ENABLE) === 0 ? 0 : value & TICK_CYCLES_MASK;
        this.onTick(this.cycles);
        return;
      default:
        super.writeUint32(offset, value);
    }
  }

  private arm(): void {
    this.alarm.cancel();
    if (this.enabled) this.alarm.schedule(this.load * NANOS_PER_COUNT);
  }

  private trigger(reason: number): void {
    this.alarm.cancel();
    this.enabled = false;
    this.bite({ scratch: Uint32Array.from(this.scratch), reason });
  }
}
