/**
 * What wires, hands and meters reach of an emulated board: its pins, doors and memory, in whichever run of its processor
 * it is, and what of them a run finds as the one before has left it.
 */
import { loadNodes } from '../../../shared/board/loads';
import {
  ADC_FULL_SCALE,
  LOADS_SENSE,
  type LoadNodes,
  loadsSenseCode,
} from '../../../shared/board/map';
import { PROBE_NAMES } from '../../../shared/board/probes';
import type { Random } from '../random';
import { type Fed, SecondSwitch } from '../second-switch';
import type { Conversion } from './adc';
import { RAM_START } from './address-map';
import type { Machine } from './machine';
import type { OutputName } from './surroundings';

export const NANOS_PER_MS = 1e6;
/** Pins that close a second switch by rising, and whose. */
export const CLOSED_BY: Partial<Readonly<Record<OutputName, Fed>>> = { feed: 'mat', arm: 'pump' };
/** The supply of mat and pump. */
const LOADS_V = 24;

export interface OutputChange {
  readonly atMs: number;
  readonly output: OutputName;
  readonly on: boolean;
}

export abstract class WiredChip {
  /** Mean ADC code of each probe's input; conversions dither around it. */
  readonly adcCodes: number[] = PROBE_NAMES.map(() => 2047);
  /** The board's second switches: mat and pump have no other supply. */
  readonly second: Readonly<Record<Fed, SecondSwitch>> = {
    mat: new SecondSwitch(),
    pump: new SecondSwitch(),
  };
  /** What the sense line hangs on, by those switches and by the mat's own; of a sound mat unless told otherwise. */
  loadNodes: (closed: Readonly<Record<Fed, boolean>>, matOn: boolean) => LoadNodes = (
    closed,
    switchClosed,
  ) => ({
    ...loadNodes(closed.mat ? LOADS_V : 0, { fuse: 'whole', lead: 'whole', switchClosed }),
    pumpFeedV: closed.pump ? LOADS_V : 0,
  });
  /** What the converter makes of a sound conversion's code. */
  onConversion: (code: number, channel: number) => Conversion = (code) => code;
  onOutput: (change: OutputChange) => void = () => {};
  onUsbData: (bytes: Uint8Array) => void = () => {};
  onUartData: (bytes: Uint8Array) => void = () => {};
  /** The run it is in; null without power, or while the ROM shows its drive. */
  protected machine: Machine | null = null;
  private crystal = 1;
  private usbOpen = false;
  private usbPlugged = true;
  private isHung = false;
  private uartLow = false;
  private stuckLine: 'low' | 'high' | null = null;
  /** In runs before this one. */
  private executed = 0;
  private busyNanos = 0;
  private missed = 0;

  constructor(
    protected readonly random: Random,
    private isCached: boolean,
  ) {}

  /** Since it was made, ms. */
  abstract get nowMs(): number;

  get instructions(): number {
    return this.executed + (this.machine?.execution.instructions ?? 0);
  }

  /** Time spent executing instructions since the first start, ms. */
  get busyMs(): number {
    return (this.busyNanos + (this.machine?.execution.busyNanos ?? 0)) / NANOS_PER_MS;
  }

  /** Outputs whose pins are driven high. */
  get outputsOn(): ReadonlySet<OutputName> {
    return this.machine?.outputsOn ?? new Set();
  }

  /** The output's pin is driven, high or low, by the image. */
  drives(output: OutputName): boolean {
    return this.machine?.drives(output) ?? false;
  }

  /** The processor sleeps: it has nothing to do. */
  get isAsleep(): boolean {
    return this.machine?.execution.isAsleep ?? true;
  }

  /** The processor executes nothing any more, as if its program hung with interrupts off. */
  set hung(hung: boolean) {
    this.isHung = hung;
    if (this.machine !== null) this.machine.execution.hung = hung;
  }

  /**
   * Flash is read through its cache, and misses take time, as on silicon; from now on, with an empty cache. It costs ten
   * times the work. Otherwise all of flash is as if it were in the cache.
   */
  set cached(cached: boolean) {
    this.isCached = cached;
    if (this.machine !== null) this.machine.cached = cached;
  }

  /** Words that the cache has read from flash since the first start. */
  get misses(): number {
    return this.missed + (this.machine?.misses ?? 0);
  }

  /** How fast the crystal swings: 1 is right, 0 not at all. */
  set crystalRate(rate: number) {
    this.crystal = rate;
    this.machine?.crystalChanged();
  }

  get crystalRate(): number {
    return this.crystal;
  }

  /** The processor's PLL stops; after the next start it is sound again. */
  stopPll(): void {
    this.machine?.stopPll();
  }

  get usb() {
    return this.machine?.usb ?? null;
  }

  get uart() {
    return this.machine?.uart ?? null;
  }

  get bridge() {
    return this.machine?.bridge ?? null;
  }

  /** A word of RAM, for figures: `address` as the image's symbols tell it. */
  word(address: number): number {
    return this.machine?.rp2040.sramView.getUint32(address - RAM_START, true) ?? 0;
  }

  /** Turns a word of RAM over, as something does that writes where it must not. */
  spoilWord(address: number): void {
    const ram = this.machine?.rp2040.sramView;
    ram?.setUint32(address - RAM_START, ~this.word(address), true);
  }

  /** Puts a word into RAM, as another image would have it there. */
  poke(address: number, value: number): void {
    this.machine?.rp2040.sramView.setUint32(address - RAM_START, value, true);
  }

  /** An interrupt that nothing of the board raises by itself. */
  interrupt(irq: number): void {
    this.machine?.interrupt(irq);
  }

  /** The safety step is called no more; all else goes on. */
  loseSafetyStep(): void {
    this.machine?.loseSafetyStep();
  }

  /** The bridge converter finished a conversion; NaN when it is silent. */
  convert(code: number): void {
    this.machine?.bridge.convert(code);
  }

  /** Holds the converter's data line on one level, or lets it go. */
  stickBridge(level: 'low' | 'high' | null): void {
    this.stuckLine = level;
    if (this.machine !== null) {
      this.machine.bridge.stuck = level;
      this.machine.bridge.refresh();
    }
  }

  writeUsb(bytes: Uint8Array): void {
    if (this.usbOpen && this.usbPlugged) this.machine?.usb.write(bytes);
  }

  /** `errors`: what is wrong with each of them, of `CHARACTER_ERROR`. */
  writeUart(bytes: Uint8Array, errors = 0): void {
    this.machine?.uart.write(bytes, errors);
  }

  /** Holds UART0's line towards the chip low, as an adapter without its computer may, or lets it go. */
  holdUartLow(low: boolean): void {
    this.uartLow = low;
    if (this.machine !== null) this.machine.uart.low = low;
  }

  /** A program on the computer opens or closes the USB serial port. */
  openUsb(open: boolean): void {
    this.usbOpen = open;
    this.machine?.usb.setOpen(open);
  }

  plugUsb(plugged: boolean): void {
    this.usbPlugged = plugged;
    if (plugged) this.machine?.usb.plug();
    else this.machine?.usb.unplug();
  }

  /** This run begins: with what is as the one before has left it. */
  protected begin(machine: Machine): void {
    machine.usb.setOpen(this.usbOpen);
    if (!this.usbPlugged) machine.usb.unplug();
    machine.bridge.stuck = this.stuckLine;
    machine.bridge.refresh();
    machine.execution.hung = this.isHung;
    machine.cached = this.isCached;
    machine.uart.low = this.uartLow;
    this.machine = machine;
  }

  /** The run is over. */
  protected end(machine: Machine): void {
    this.executed += machine.execution.instructions;
    this.busyNanos += machine.execution.busyNanos;
    this.missed += machine.misses;
    this.machine = null;
  }

  protected switched(change: OutputChange): void {
    this.onOutput(change);
    const output = change.on ? CLOSED_BY[change.output] : undefined;
    if (output !== undefined) this.second[output].rises(change.atMs);
  }

  protected dropOutputs(): void {
    for (const output of this.outputsOn) this.onOutput({ atMs: this.nowMs, output, on: false });
  }

  /** One 12-bit conversion: the fraction of the mean decides how often it is the next code. */
  protected convertAdc(channel: number): Conversion {
    const mean = channel === LOADS_SENSE.channel ? this.loadsMean() : (this.adcCodes[channel] ?? 0);
    const code = Math.max(0, Math.min(ADC_FULL_SCALE, Math.floor(mean + this.random.share())));
    return this.onConversion(code, channel);
  }

  private loadsMean(): number {
    const { mat, pump } = this.second;
    const closed = { mat: mat.isClosed(this.nowMs), pump: pump.isClosed(this.nowMs) };
    return loadsSenseCode(this.loadNodes(closed, this.machine?.isHigh('mat') ?? false));
  }
}
