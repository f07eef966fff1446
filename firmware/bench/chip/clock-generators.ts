/**
 * Who is clocked by what (RP2040 data sheet 2.15): the generators of reference, processor, peripherals, USB and ADC,
 * the frequency counter, and what puts the processor on the reference when its own clock has stopped.
 */
import { BasePeripheral, type RP2040 } from 'rp2040js';
import { CRYSTAL } from '../../../shared/board/map';
import { ImageError } from './bus';
import type { ChipClock } from './clock';
import { type Crystal, type Pll, pass, RING_OSCILLATOR_MHZ } from './oscillators';

const CLK_REF_CTRL = 0x30;
const CLK_REF_SELECTED = 0x38;
const CLK_SYS_CTRL = 0x3c;
const CLK_SYS_DIV = 0x40;
const CLK_SYS_SELECTED = 0x44;
const CLK_PERI_CTRL = 0x48;
const CLK_USB_CTRL = 0x54;
const CLK_ADC_CTRL = 0x60;
const RESUS_CTRL = 0x78;
const FC0_REF_KHZ = 0x80;
const FC0_INTERVAL = 0x90;
const FC0_SRC = 0x94;
const FC0_STATUS = 0x98;
const FC0_RESULT = 0x9c;
const INTE = 0xbc;
const CTRL_ENABLE = 1 << 11;
const REF_SRC_MASK = 3;
const REF_SRC_CRYSTAL = 2;
const SYS_SRC_AUX = 1;
const AUX_MASK = 7 << 5;
const SYS_DIV_BY_1 = 1 << 8;
const RESUS_ENABLE = 1 << 8;
const FC0_DEFAULT_INTERVAL = 8;
const FC0_SRC_RING_OSCILLATOR = 3;
const FC0_STATUS_DONE = 1 << 4;
const FC0_RESULT_KHZ_LSB = 5;
const FC0_RESULT_MAX = 0x3fffffff;
const IRQ = 17;
const NANOS_PER_US = 1000;
/** Where a PLL without its crystal goes: its VCO falls to the low end (from memory). */
const LEFT_ALONE = 0.25;
const USB_AND_ADC_MHZ = 48;
const CLOCKS_TOLERANCE = 0.001;

export interface ClockSources {
  readonly crystal: Crystal;
  readonly pllSys: Pll;
  readonly pllUsb: Pll;
  /** How fast the crystal swings: 1 is right, 0 not at all. */
  readonly rate: () => number;
}

export class ClockGenerators extends BasePeripheral {
  /** A rate has changed. */
  onChange: () => void = () => {};
  private readonly registers = new Map<number, number>([[CLK_SYS_DIV, SYS_DIV_BY_1]]);
  private countedAtNanos = Number.POSITIVE_INFINITY;
  private result = 0;

  constructor(
    private readonly chip: RP2040,
    private readonly clock: ChipClock,
    private readonly sources: ClockSources,
  ) {
    super(chip, 'CLOCKS');
  }

  /** What the reference is meant to be, MHz. */
  get refMhz(): number {
    return this.refIsCrystal ? CRYSTAL.mhz : RING_OSCILLATOR_MHZ;
  }

  /** How fast the reference goes: 1 is right. */
  get refRate(): number {
    return this.refIsCrystal ? this.sources.rate() : 1;
  }

  /** The processor's clock as it is, MHz; 0 when it has stopped. */
  get sysMhz(): number {
    const { pllSys, rate } = this.sources;
    if (!this.sysIsPll) return this.refMhz * this.refRate;
    return pllSys.mhz * (rate() === 0 ? LEFT_ALONE : rate());
  }

  /** UART0's clock: the processor's, as it is meant to be. */
  get periMhz(): number {
    if (!this.isEnabled(CLK_PERI_CTRL)) return 0;
    return this.sysIsPll ? this.sources.pllSys.mhz : this.refMhz;
  }

  /** Throws unless USB or ADC has 48 MHz. */
  mustRun(what: 'USB' | 'ADC'): void {
    const on = this.isEnabled(what === 'USB' ? CLK_USB_CTRL : CLK_ADC_CTRL);
    const mhz = on ? this.sources.pllUsb.mhz : 0;
    if (Math.abs(mhz / USB_AND_ADC_MHZ - 1) > CLOCKS_TOLERANCE) {
      throw new ImageError(`${what} used with a clock of ${mhz} MHz.`);
    }
  }

  /** Crystal or PLL goes otherwise than before. */
  changed(): void {
    if (this.sysMhz === 0 && (this.reg(RESUS_CTRL) & RESUS_ENABLE) !== 0) {
      this.registers.set(CLK_SYS_CTRL, this.reg(CLK_SYS_CTRL) & ~SYS_SRC_AUX);
      if ((this.reg(INTE) & 1) !== 0) this.chip.setInterrupt(IRQ, true);
    }
    this.onChange();
  }

  override readUint32(offset: number): number {
    switch (offset) {
      case CLK_REF_SELECTED:
        return 1 << (this.reg(CLK_REF_CTRL) & REF_SRC_MASK);
      case CLK_SYS_SELECTED:
        return 1 << (this.reg(CLK_SYS_CTRL) & SYS_SRC_AUX);
      case FC0_STATUS:
        pass(this.clock, this.countedAtNanos);
        return this.clock.nanos >= this.countedAtNanos ? FC0_STATUS_DONE : 0;
      case FC0_RESULT:
        return this.result;
      default:
        return this.reg(offset);
    }
  }

  override writeUint32(offset: number, value: number): void {
    this.mustBeSound(offset, value);
    this.registers.set(offset, value);
    if (offset === FC0_SRC) this.startCount();
    if (offset <= CLK_ADC_CTRL) this.onChange();
  }

  private get refIsCrystal(): boolean {
    return (this.reg(CLK_REF_CTRL) & REF_SRC_MASK) === REF_SRC_CRYSTAL;
  }

  private get sysIsPll(): boolean {
    return (this.reg(CLK_SYS_CTRL) & SYS_SRC_AUX) !== 0;
  }

  private reg(offset: number): number {
    return this.registers.get(offset) ?? 0;
  }

  private isEnabled(offset: number): boolean {
    return (this.reg(offset) & CTRL_ENABLE) !== 0;
  }

  private mustBeSound(offset: number, value: number): void {
    const { crystal, pllSys, pllUsb } = this.sources;
    const source = offset === CLK_REF_CTRL ? value & REF_SRC_MASK : 0;
    if (source === REF_SRC_CRYSTAL && !crystal.isStable) {
      throw new ImageError('The reference clock on the crystal before that is stable.');
    }
    if (offset === CLK_SYS_CTRL && (value & SYS_SRC_AUX) !== 0) {
      pllSys.mustBeLocked('The processor');
    }
    const isPlain = offset !== CLK_SYS_CTRL && offset !== CLK_USB_CTRL && offset !== CLK_ADC_CTRL;
    if (!isPlain && (value & AUX_MASK) !== 0) throw new ImageError('A clock that no board has.');
    if ((offset === CLK_USB_CTRL || offset === CLK_ADC_CTRL) && (value & CTRL_ENABLE) !== 0) {
      pllUsb.mustBeLocked('USB and ADC');
    }
  }

  /** Counts the ring oscillator for a time that the reference measures: without that it never ends. */
  private startCount(): void {
    this.countedAtNanos = Number.POSITIVE_INFINITY;
    if (this.reg(FC0_SRC) !== FC0_SRC_RING_OSCILLATOR || this.refRate === 0) return;
    const us = 2 ** (this.reg(FC0_INTERVAL) || FC0_DEFAULT_INTERVAL);
    const toldRefMhz = this.reg(FC0_REF_KHZ) / 1000;
    const seenMhz = (RING_OSCILLATOR_MHZ / this.refRate) * (toldRefMhz / this.refMhz);
    const steps = Math.round(seenMhz * 1000 * (1 << FC0_RESULT_KHZ_LSB));
    this.result = Math.min(FC0_RESULT_MAX, steps);
    this.countedAtNanos = this.clock.nanos + (us * NANOS_PER_US) / this.refRate;
  }
}
