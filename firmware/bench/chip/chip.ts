/**
 * The reference board with its flash image, emulated: processor, flash and every pin the image uses.
 * Time is simulated and advances only in `run`; the same image, flash and inputs give the same run.
 */
import { loadNodes } from '../../../shared/board/loads';
import {
  ADC_FULL_SCALE,
  FLASH_BYTES,
  LOADS_SENSE,
  type LoadNodes,
  loadsSenseCode,
} from '../../../shared/board/map';
import { PROBE_NAMES } from '../../../shared/board/probes';
import { BootDrive } from '../boot-drive';
import { type FlashChip, PowerCut, SimulatedFlash, W25Q16 } from '../flash';
import { Random } from '../random';
import { SecondSwitch } from '../second-switch';
import type { BootDriveEnd } from '../servable';
import type { Conversion } from './adc';
import { RAM_BYTES, RAM_START } from './address-map';
import { bootStageIsSound } from './boot-stage';
import type { Breakage, BusFault, WritableFlash } from './bus';
import { type BootDriveCall, Machine, type OutputName } from './machine';
import { type FlashTimes, TYPICAL_FLASH } from './rom';
import { SectorErase } from './sector-erase';
import { type Executor, executorOf } from './translation/executor';
import { ChipMemory } from './translation/memory';
import { COLD, WATCHDOG_REASON, type WatchdogMemory } from './watchdog';

export { BusFault, ImageError } from './bus';
export type { OutputName } from './machine';

const NANOS_PER_MS = 1e6;
/** The supply of mat and pump. */
const LOADS_V = 24;
/** The ROM starts an image that is complete after so long: half of the 1000 that it says, for the erratum E1 of its watchdog. */
const IMAGE_STARTS_AFTER_MS = 500;
/** Serial numbers of emulated boards begin so; the seed is the rest. */
const FLASH_ID_START = [0xe6, 0x61, 0x38, 0x52] as const;

export interface ChipStart {
  readonly atMs: number;
  readonly why: 'power' | 'watchdog-timer' | 'watchdog-force' | 'boot-drive';
  /** What the run before left in the watchdog's scratch registers. */
  readonly scratch: readonly number[];
}

export interface OutputChange {
  readonly atMs: number;
  readonly output: OutputName;
  readonly on: boolean;
}

export interface ChipOptions {
  /** From now on this chip's: another one that had it is without. */
  readonly flash: SimulatedFlash;
  /** A typical chip unless given. */
  readonly flashTimes?: FlashTimes;
  readonly seed?: number;
  readonly writableFlash?: WritableFlash;
  /** What the image does otherwise than it should. */
  readonly breakage?: Breakage;
  /** See `Chip.cached`. */
  readonly cache?: boolean;
}

/** Flash of a new board with the image on it. */
export function flashWithImage(
  image: Uint8Array,
  seed = 1,
  chip: FlashChip = W25Q16,
): SimulatedFlash {
  const contents = new Uint8Array(FLASH_BYTES).fill(0xff);
  contents.set(image);
  return new SimulatedFlash({ seed, contents, chip });
}

export class Chip {
  readonly flash: SimulatedFlash;
  readonly starts: ChipStart[] = [];
  /** Faults that the processor took, oldest first. */
  readonly faults: BusFault[] = [];
  /** What the image did that no well-made image does, by the emulator's account. */
  readonly complaints: string[] = [];
  /** Mean ADC code of each probe's input; conversions dither around it. */
  readonly adcCodes: number[] = PROBE_NAMES.map(() => 2047);
  /** The board's second switch: mat and pump have no other supply. */
  readonly feed = new SecondSwitch();
  /** What the sense line hangs on, by that switch and by the mat's own; of a sound mat unless told otherwise. */
  loadNodes: (fed: boolean, matOn: boolean) => LoadNodes = (fed, switchClosed) =>
    loadNodes(fed ? LOADS_V : 0, { fuse: 'whole', lead: 'whole', switchClosed });
  /** What the converter makes of a sound conversion's code. */
  onConversion: (code: number, channel: number) => Conversion = (code) => code;
  onOutput: (change: OutputChange) => void = () => {};
  onUsbData: (bytes: Uint8Array) => void = () => {};
  onUartData: (bytes: Uint8Array) => void = () => {};
  /** Sixteen hex digits: the flash chip's own number. */
  readonly boardId: string;
  /** How the image last asked for the boot drive; null: it never did. */
  bootDriveCall: BootDriveCall | null = null;
  private machine: Machine | null = null;
  /** In its place while the ROM waits for an image; the registers that outlive that; when a complete one starts, ns. */
  private shown: (BootDriveEnd & { readonly drive: BootDrive }) | null = null;
  private beforeBootDrive: WatchdogMemory = COLD;
  private imageStartsNanos = Number.POSITIVE_INFINITY;
  private readonly random: Random;
  private readonly flashTimes: FlashTimes;
  private readonly writableFlash: WritableFlash | null;
  private readonly breakage: Breakage;
  private isCached: boolean;
  private readonly flashId: readonly number[];
  private readonly memory = new ChipMemory();
  private executor: Executor | null = null;
  private readonly flashStatus = { quadEnabled: false };
  private readonly erase: SectorErase;
  /** Simulated time at which the running machine started, ns. */
  private startedNanos = 0;
  private stoppedNanos = 0;
  private crystal = 1;
  private usbOpen = false;
  private usbPlugged = true;
  private isHung = false;
  private uartLow = false;
  private stuckLine: 'low' | 'high' | null = null;
  private executed = 0;
  private busy = 0;
  private missed = 0;

  constructor(options: ChipOptions) {
    this.flash = options.flash;
    this.flash.moveTo(this.memory.flash);
    this.flashTimes = options.flashTimes ?? TYPICAL_FLASH;
    this.erase = new SectorErase(this.flash, this.flashTimes, () => this.nanos);
    const seed = options.seed ?? 1;
    this.random = new Random(seed);
    this.flashId = [...FLASH_ID_START, ...[24, 16, 8, 0].map((shift) => (seed >>> shift) & 0xff)];
    this.boardId = this.flashId.map((byte) => byte.toString(16).padStart(2, '0')).join('');
    this.writableFlash = options.writableFlash ?? null;
    this.breakage = options.breakage ?? {};
    this.isCached = options.cache ?? false;
  }

  get isPowered(): boolean {
    return this.machine !== null || this.shown !== null;
  }

  /** The host's end of the drive, as which the ROM waits for an image; null while it does not. */
  get bootDrive(): BootDriveEnd | null {
    return this.shown;
  }

  get nowMs(): number {
    return this.nanos / NANOS_PER_MS;
  }

  get instructions(): number {
    return this.executed + (this.machine?.instructions ?? 0);
  }

  /** Time spent executing instructions since the first start, ms. */
  get busyMs(): number {
    return (this.busy + (this.machine?.busyNanos ?? 0)) / NANOS_PER_MS;
  }

  /** Outputs whose pins are driven high. */
  get outputsOn(): ReadonlySet<OutputName> {
    return this.machine?.outputsOn ?? new Set();
  }

  /** The output's pin is driven, high or low, by the image. */
  drives(output: OutputName): boolean {
    return this.machine?.drives(output) ?? false;
  }

  /** The processor has nothing to do: it sleeps, and not because it waits for its flash. */
  get isAsleep(): boolean {
    return this.machine === null || (this.machine.isAsleep && !this.erase.isBusy);
  }

  /** The processor executes nothing any more, as if its program hung with interrupts off. */
  set hung(hung: boolean) {
    this.isHung = hung;
    if (this.machine !== null) this.machine.hung = hung;
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

  /** Switches the supply on. RAM holds noise, unless the supply only dipped. */
  powerOn(dip = false): void {
    if (this.isPowered) return;
    if (!dip) for (let i = 0; i < RAM_BYTES; i += 1) this.memory.ram[i] = this.random.bits() & 0xff;
    this.flash.restore();
    if (bootStageIsSound(this.flash.bytes)) this.start(COLD, true, 'power');
    else this.showBootDrive(COLD);
  }

  /** Cuts the supply: pins float, which the pull-downs make low. */
  powerOff(): void {
    if (!this.isPowered) return;
    this.dropOutputs();
    if (this.machine !== null) this.retire(this.machine);
    this.shown = null;
    this.erase.losePower();
    this.flash.cutPower();
  }

  /** Advances simulated time. A power cut inside a flash operation leaves the board off. */
  run(ms: number): void {
    const untilNanos = this.nanos + ms * NANOS_PER_MS;
    while (this.nanos < untilNanos) {
      const { machine } = this;
      if (machine === null) {
        this.stoppedNanos = Math.min(untilNanos, this.imageStartsNanos);
        if (this.shown?.drive.isComplete && this.stoppedNanos < untilNanos) this.leaveBootDrive();
        else this.stoppedNanos = untilNanos;
        continue;
      }
      const endNanos = untilNanos - this.startedNanos;
      this.runMachine(machine, endNanos);
      // Its own clock decides: the sum of both may fall short of the end by its last bit, for ever.
      if (this.machine === machine && machine.nanos >= endNanos) return;
    }
  }

  /** Runs until `done`, looking every `stepMs`; false when `limitMs` went by first. */
  runUntil(done: () => boolean, limitMs: number, stepMs = 1): boolean {
    const endMs = this.nowMs + limitMs;
    while (!done()) {
      if (this.nowMs >= endMs) return false;
      this.run(stepMs);
    }
    return true;
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

  private get nanos(): number {
    return this.machine === null ? this.stoppedNanos : this.startedNanos + this.machine.nanos;
  }

  private runMachine(machine: Machine, endNanos: number): void {
    try {
      machine.runUntil(endNanos);
    } catch (error) {
      if (!(error instanceof PowerCut)) throw error;
      this.powerOff();
      return;
    }
    const { bitten, bootDriveCall } = machine;
    if (bitten === null) return;
    if (bootDriveCall === null) {
      this.restart(machine, bitten);
      return;
    }
    this.bootDriveCall = bootDriveCall;
    this.dropOutputs();
    this.retire(machine);
    this.showBootDrive(bitten);
  }

  private showBootDrive(before: WatchdogMemory): void {
    this.beforeBootDrive = before;
    this.imageStartsNanos = Number.POSITIVE_INFINITY;
    const drive = new BootDrive(this.flash);
    this.shown = { drive, write: (sector) => this.intoBootDrive(drive, sector) };
  }

  private intoBootDrive(drive: BootDrive, sector: Uint8Array): void {
    if (this.shown?.drive !== drive) return;
    try {
      drive.take(sector);
    } catch (error) {
      if (!(error instanceof PowerCut)) throw error;
      this.powerOff();
      return;
    }
    if (drive.isComplete && !Number.isFinite(this.imageStartsNanos)) {
      this.imageStartsNanos = this.nanos + IMAGE_STARTS_AFTER_MS * NANOS_PER_MS;
    }
  }

  /** By the watchdog, as the ROM does it; of the chip's own resets the last was that of the supply. */
  private leaveBootDrive(): void {
    const { scratch } = this.beforeBootDrive;
    this.shown = null;
    this.imageStartsNanos = Number.POSITIVE_INFINITY;
    this.start({ scratch, reason: WATCHDOG_REASON.timer }, true, 'boot-drive');
  }

  private restart(machine: Machine, memory: WatchdogMemory): void {
    this.dropOutputs();
    this.retire(machine);
    const forced = memory.reason === WATCHDOG_REASON.force;
    this.start(memory, false, forced ? 'watchdog-force' : 'watchdog-timer');
  }

  private retire(machine: Machine): void {
    this.stoppedNanos = this.startedNanos + machine.nanos;
    this.executed += machine.instructions;
    this.busy += machine.busyNanos;
    this.missed += machine.misses;
    this.machine = null;
  }

  private dropOutputs(): void {
    for (const output of this.outputsOn) this.onOutput({ atMs: this.nowMs, output, on: false });
  }

  private start(memory: WatchdogMemory, poweredOn: boolean, why: ChipStart['why']): void {
    this.starts.push({ atMs: this.nowMs, why, scratch: [...memory.scratch] });
    // The ROM tries to read the boot stage until the flash can be read, for half a second.
    this.startedNanos = Math.max(this.stoppedNanos, this.erase.busyUntilNanos);
    this.executor = executorOf(this.memory, this.executor);
    const machine = new Machine({
      flash: this.flash,
      flashTimes: this.flashTimes,
      flashStatus: this.flashStatus,
      erase: this.erase,
      flashId: this.flashId,
      writableFlash: this.writableFlash,
      breakage: this.breakage,
      executor: this.executor,
      watchdogMemory: memory,
      poweredOn,
      crystalRate: () => this.crystal,
      convert: (channel) => this.convertAdc(channel),
      onOutput: (output, on) => this.switched({ atMs: this.nowMs, output, on }),
      onFault: (fault) => this.faults.push(fault),
      onComplaint: (complaint) => this.complaints.push(complaint),
      onUsbData: (bytes) => this.onUsbData(bytes),
      onUartByte: (byte) => this.onUartData(Uint8Array.of(byte)),
    });
    machine.usb.setOpen(this.usbOpen);
    if (!this.usbPlugged) machine.usb.unplug();
    machine.bridge.stuck = this.stuckLine;
    machine.bridge.refresh();
    machine.hung = this.isHung;
    machine.cached = this.isCached;
    machine.uart.low = this.uartLow;
    this.machine = machine;
  }

  private switched(change: OutputChange): void {
    this.onOutput(change);
    if (change.output === 'feed' && change.on) this.feed.rises(change.atMs);
  }

  private loadsMean(): number {
    const fed = this.feed.isClosed(this.nowMs);
    return loadsSenseCode(this.loadNodes(fed, this.outputsOn.has('mat')));
  }

  /** One 12-bit conversion: the fraction of the mean decides how often it is the next code. */
  private convertAdc(channel: number): Conversion {
    const mean = channel === LOADS_SENSE.channel ? this.loadsMean() : (this.adcCodes[channel] ?? 0);
    const code = Math.max(0, Math.min(ADC_FULL_SCALE, Math.floor(mean + this.random.share())));
    return this.onConversion(code, channel);
  }
}
