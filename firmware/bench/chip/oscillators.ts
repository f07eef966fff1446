/**
 * Crystal, ring oscillator and the two PLLs (RP2040 data sheet 2.16 to 2.18): when each is good for anything.
 * What is used before is an error of the image, though silicon may bear it for once.
 */
import { BasePeripheral, type RP2040 } from 'rp2040js';
import { CRYSTAL } from '../../../shared/board/map';
import { ImageError } from './bus';
import type { ChipClock } from './clock';

/** Nominal at a start; between chips, and with warmth and voltage, it is 1.8 to 12 (data sheet 2.17.3). */
export const RING_OSCILLATOR_MHZ = 6.5;

const XOSC_CTRL = 0x00;
const XOSC_STATUS = 0x04;
const XOSC_STARTUP = 0x0c;
const ENABLE_LSB = 12;
const ENABLE_MASK = 0xfff;
const ENABLE = 0xfab;
const DISABLE = 0xd1e;
const STABLE = 0x80000000;
const STARTUP_CYCLES = 256;
const NANOS_PER_US = 1000;

/** The crystal: stable so many of its cycles after it was switched on, if it swings. */
export class Crystal extends BasePeripheral {
  private readonly registers = new Map<number, number>();
  private stableAtNanos = Number.POSITIVE_INFINITY;

  constructor(
    chip: RP2040,
    private readonly clock: ChipClock,
    /** How fast it swings: 1 is right, 0 not at all. */
    private readonly rate: () => number,
  ) {
    super(chip, 'XOSC');
  }

  get isStable(): boolean {
    return this.rate() > 0 && this.clock.nanos >= this.stableAtNanos;
  }

  override readUint32(offset: number): number {
    if (offset !== XOSC_STATUS) return this.registers.get(offset) ?? 0;
    pass(this.clock, this.stableAtNanos);
    return this.isStable ? STABLE : 0;
  }

  override writeUint32(offset: number, value: number): void {
    if (offset !== XOSC_CTRL && offset !== XOSC_STARTUP) {
      super.writeUint32(offset, value);
      return;
    }
    this.registers.set(offset, value);
    if (offset === XOSC_CTRL) this.command((value >>> ENABLE_LSB) & ENABLE_MASK);
  }

  private command(enable: number): void {
    if (enable === DISABLE) this.stableAtNanos = Number.POSITIVE_INFINITY;
    if (enable !== ENABLE || this.rate() === 0) return;
    const cycles = (this.registers.get(XOSC_STARTUP) ?? 0) * STARTUP_CYCLES;
    const nanos = (cycles / (CRYSTAL.mhz * this.rate())) * NANOS_PER_US;
    this.stableAtNanos = this.clock.nanos + nanos;
  }
}

const PLL_CS = 0x00;
const PLL_PWR = 0x04;
const PLL_FBDIV_INT = 0x08;
const PLL_PRIM = 0x0c;
const CS_LOCK = 0x80000000;
const CS_REFDIV_MASK = 0x3f;
const PWR_OFF = (1 << 0) | (1 << 5);
const PWR_POSTDIV_OFF = 1 << 3;
const PWR_AFTER_RESET = 0x2d;
const PRIM_AFTER_RESET = 0x77000;
/** What the VCO can do, MHz (data sheet 2.18.2). */
const VCO_MHZ = { min: 750, max: 1600 } as const;
/** From memory: some hundred cycles of what it is locked to. */
const LOCK_NANOS = 50_000;

/** A PLL on the crystal: locked some time after it has power, if its VCO can do what is asked of it. */
export class Pll extends BasePeripheral {
  /** It has stopped, whatever its registers say. */
  dead = false;
  private readonly registers = new Map<number, number>([
    [PLL_CS, 1],
    [PLL_PWR, PWR_AFTER_RESET],
    [PLL_PRIM, PRIM_AFTER_RESET],
  ]);
  private lockedAtNanos = Number.POSITIVE_INFINITY;

  constructor(
    chip: RP2040,
    private readonly label: string,
    private readonly clock: ChipClock,
    private readonly crystal: Crystal,
    private readonly rate: () => number,
  ) {
    super(chip, label);
  }

  /** What comes out, MHz, with a crystal that is right; 0 when nothing does. */
  get mhz(): number {
    const power = this.registers.get(PLL_PWR) ?? 0;
    if (this.dead || (power & (PWR_OFF | PWR_POSTDIV_OFF)) !== 0) return 0;
    const dividers = this.registers.get(PLL_PRIM) ?? 0;
    return this.vcoMhz / (((dividers >>> 16) & 7) * ((dividers >>> 12) & 7));
  }

  /** Throws unless it has locked: an unlocked one may run at any rate. */
  mustBeLocked(by: string): void {
    if (this.clock.nanos < this.lockedAtNanos) {
      throw new ImageError(`${by} on ${this.label}, which has not locked yet.`);
    }
  }

  override readUint32(offset: number): number {
    const value = this.registers.get(offset) ?? 0;
    if (offset !== PLL_CS) return value;
    pass(this.clock, this.lockedAtNanos);
    return this.clock.nanos >= this.lockedAtNanos ? (value | CS_LOCK) >>> 0 : value;
  }

  override writeUint32(offset: number, value: number): void {
    this.registers.set(offset, value);
    if (offset === PLL_PWR) this.powered((value & PWR_OFF) === 0);
  }

  private get vcoMhz(): number {
    const divider = (this.registers.get(PLL_CS) ?? 0) & CS_REFDIV_MASK;
    return (CRYSTAL.mhz / divider) * (this.registers.get(PLL_FBDIV_INT) ?? 0);
  }

  private powered(on: boolean): void {
    if (!on) {
      this.lockedAtNanos = Number.POSITIVE_INFINITY;
      return;
    }
    if (!this.crystal.isStable) {
      throw new ImageError(`${this.label} switched on before the crystal is stable.`);
    }
    if (this.lockedAtNanos < Number.POSITIVE_INFINITY) return;
    const mhz = this.vcoMhz * this.rate();
    if (mhz >= VCO_MHZ.min && mhz <= VCO_MHZ.max)
      this.lockedAtNanos = this.clock.nanos + LOCK_NANOS;
  }
}

/** A loop that asks whether it is time would ask in vain until the next thing happens. */
export function pass(clock: ChipClock, atNanos: number): void {
  if (atNanos <= clock.nanos || atNanos === Number.POSITIVE_INFINITY) return;
  clock.tick(Math.min(atNanos, clock.nextNanos) - clock.nanos);
}
