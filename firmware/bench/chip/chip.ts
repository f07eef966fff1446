/**
 * The reference board with its flash image, emulated: processor, flash and every pin the image uses.
 * Time is simulated and advances only in `run`; the same image, flash and inputs give the same run.
 */
import { FLASH_BYTES } from '../../../shared/board/map';
import { BootDrive } from '../boot-drive';
import { type FlashChip, PowerCut, SimulatedFlash, W25Q16 } from '../flash';
import { Random } from '../random';
import type { BootDriveEnd } from '../servable';
import { RAM_BYTES } from './address-map';
import { bootStageIsSound } from './boot-stage';
import type { Breakage, BusFault, WritableFlash } from './bus';
import { Machine } from './machine';
import { type FlashTimes, TYPICAL_FLASH } from './rom';
import { SectorErase } from './sector-erase';
import type { BootDriveCall } from './surroundings';
import { type Executor, executorOf } from './translation/executor';
import { ChipMemory } from './translation/memory';
import { COLD, WATCHDOG_REASON, type WatchdogMemory } from './watchdog';
import { NANOS_PER_MS, WiredChip } from './wired-chip';

export { BusFault, ImageError } from './bus';
export type { OutputName } from './surroundings';
export type { OutputChange } from './wired-chip';

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

export interface ChipOptions {
  /** From now on this chip's: another one that had it is without. */
  readonly flash: SimulatedFlash;
  /** A typical chip unless given. */
  readonly flashTimes?: FlashTimes;
  readonly seed?: number;
  /** The last 32 bits of the flash chip's own number; those of the seed unless given. */
  readonly boardNumber?: number;
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

export class Chip extends WiredChip {
  readonly flash: SimulatedFlash;
  readonly starts: ChipStart[] = [];
  /** Faults that the processor took, oldest first. */
  readonly faults: BusFault[] = [];
  /** What the image did that no well-made image does, by the emulator's account. */
  readonly complaints: string[] = [];
  /** Sixteen hex digits: the flash chip's own number. */
  readonly boardId: string;
  /** How the image last asked for the boot drive; null: it never did. */
  bootDriveCall: BootDriveCall | null = null;
  /** In place of a run while the ROM waits for an image; the registers that outlive that; when a complete one starts, ns. */
  private shown: (BootDriveEnd & { readonly drive: BootDrive }) | null = null;
  private beforeBootDrive: WatchdogMemory = COLD;
  private imageStartsNanos = Number.POSITIVE_INFINITY;
  private readonly flashTimes: FlashTimes;
  private readonly writableFlash: WritableFlash | null;
  private readonly breakage: Breakage;
  private readonly flashId: readonly number[];
  private readonly memory = new ChipMemory();
  private executor: Executor | null = null;
  private readonly flashStatus = { quadEnabled: false };
  private readonly erase: SectorErase;
  /** Simulated time at which the running machine started, ns. */
  private startedNanos = 0;
  private stoppedNanos = 0;

  constructor(options: ChipOptions) {
    const seed = options.seed ?? 1;
    super(new Random(seed), options.cache ?? false);
    this.flash = options.flash;
    this.flash.moveTo(this.memory.flash);
    this.flashTimes = options.flashTimes ?? TYPICAL_FLASH;
    this.erase = new SectorErase(this.flash, this.flashTimes, () => this.nanos);
    const number = options.boardNumber ?? seed;
    this.flashId = [...FLASH_ID_START, ...[24, 16, 8, 0].map((shift) => (number >>> shift) & 0xff)];
    this.boardId = this.flashId.map((byte) => byte.toString(16).padStart(2, '0')).join('');
    this.writableFlash = options.writableFlash ?? null;
    this.breakage = options.breakage ?? {};
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

  /** The processor has nothing to do: it sleeps, and not because it waits for its flash. */
  override get isAsleep(): boolean {
    return this.machine === null || (super.isAsleep && !this.erase.isBusy);
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

  private get nanos(): number {
    return this.machine === null ? this.stoppedNanos : this.startedNanos + this.machine.nanos;
  }

  private runMachine(machine: Machine, endNanos: number): void {
    try {
      machine.execution.runUntil(endNanos);
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
    if (!drive.take(sector)) {
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
    this.end(machine);
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
      crystalRate: () => this.crystalRate,
      convert: (channel) => this.convertAdc(channel),
      onOutput: (output, on) => this.switched({ atMs: this.nowMs, output, on }),
      onFault: (fault) => this.faults.push(fault),
      onComplaint: (complaint) => this.complaints.push(complaint),
      onUsbData: (bytes) => this.onUsbData(bytes),
      onUartByte: (byte) => this.onUartData(Uint8Array.of(byte)),
    });
    this.begin(machine);
  }
}
