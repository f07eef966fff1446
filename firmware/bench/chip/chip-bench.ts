/**
 * The bench with the real flash image: the emulated board wired to the same rig that the in-process
 * bench has. Slower by some thousand times, and nothing of the board is left out.
 */

import { DOOR, type Door } from '../../../shared/board/map';
import { PROBE_NAMES, PROBES } from '../../../shared/board/probes';
import { OUTPUT, RESET_CAUSES, type ResetCause } from '../../../shared/board/words';
import type { SimulatedFlash } from '../flash';
import { Line } from '../line';
import { Rig, type RigOptions } from '../rig';
import { RiggedBench } from '../rigged-bench';
import type { Fed, SecondSwitch } from '../second-switch';
import type { BootDriveEnd, LinkEnd, LinkListener, ServableBench } from '../servable';
import { type BenchState, type BootRecord, stateOf } from '../state';
import { Chip, type ChipStart, flashWithImage, type OutputName } from './chip';
import { type FlashTimes, TYPICAL_FLASH } from './rom';
import { CLOSED_BY } from './wired-chip';

export interface ChipBenchOptions extends RigOptions {
  /** Flash content from offset 0 on. */
  readonly image: Uint8Array;
  /** Flash that a board has lived with; the image is put on it. A new one unless given. */
  readonly flash?: SimulatedFlash;
  readonly flashTimes?: FlashTimes;
  /** The last 32 bits of its flash chip's own number; those of the seed unless given. */
  readonly boardNumber?: number;
  /** A tray as another bench left it, to go on with. */
  readonly rig?: Rig;
}

/** The plant moves, and the converter converts, in these steps. */
const STEP_MS = 100;
/** An answer is over when the door has been silent for so long after a whole line. */
const SILENCE_MS = 20;
/**
 * And where its line is not whole yet: a page of a full journal takes 60 ms to be put together, and the longest tick may
 * come in the middle of it.
 */
const WORK_SILENCE_MS = 120;
const NEWLINE = 0x0a;
const ANSWER_MAX_MS = 3000;
const LOOK_MS = 2;
/** The scratch registers as `firmware/runtime/rp2040/restart.c` writes them. */
const CAUSE_MASK = 0xffff;
const FAULTS_SCRATCH = 2;
const MARK_MASK = 0xffff_0000;
const BOOT_DRIVE_MARK = 0x5458_0000;
const BOOTS_KEPT = 1000;

/** On-time of an output within the running step: of mat and pump what their second switches let through. */
class OnTime {
  private onSinceMs: number | null = null;
  private onMs = 0;

  constructor(private readonly behind: SecondSwitch | null = null) {}

  switched(on: boolean, atMs: number): void {
    if (this.onSinceMs !== null) {
      this.onMs += this.behind?.closedMs(this.onSinceMs, atMs) ?? atMs - this.onSinceMs;
    }
    this.onSinceMs = on ? atMs : null;
  }

  /** What was on until now is booked: from here on something else holds. */
  book(nowMs: number): void {
    this.switched(this.onSinceMs !== null, nowMs);
  }

  /** Time on within the next `stepMs` of the plant, ms; what the chip is ahead by stays for its next step. */
  take(nowMs: number, stepMs: number): number {
    this.book(nowMs);
    const onMs = Math.min(stepMs, this.onMs);
    this.onMs -= onMs;
    return onMs;
  }
}

export class ChipBench extends RiggedBench implements ServableBench {
  readonly chunkMs = STEP_MS;
  readonly rig: Rig;
  readonly chip: Chip;
  readonly boots: BootRecord[] = [];
  private readonly line: Line;
  private readonly onTime: Readonly<Record<Fed, OnTime>>;
  /** Of the second switches themselves, for a first one that is welded. */
  private readonly closedTime: Readonly<Record<Fed, OnTime>>;
  private readonly listeners = new Map<Door, LinkListener>();
  private lastByteMs = 0;
  /** The last byte heard ended a line. */
  private lineEnded = false;
  private startsSeen = 0;

  constructor(options: ChipBenchOptions) {
    super();
    const {
      seed,
      image,
      flash = flashWithImage(image, seed),
      flashTimes = TYPICAL_FLASH,
    } = options;
    flash.bytes.set(image);
    this.rig = options.rig ?? new Rig(options);
    this.line = new Line(seed, () => this.rig.faults.has('link-noise'));
    const { boardNumber = seed } = options;
    this.chip = new Chip({ flash, flashTimes, seed, boardNumber });
    const { mat, pump } = this.chip.second;
    this.onTime = { mat: new OnTime(mat), pump: new OnTime(pump) };
    this.closedTime = { mat: new OnTime(mat), pump: new OnTime(pump) };
    for (const time of Object.values(this.closedTime)) time.switched(true, 0);
    this.chip.loadNodes = (closed, matOn) => this.rig.loadNodes(closed, matOn);
    this.chip.onOutput = ({ output, on, atMs }) => this.switched(output, on, atMs);
    this.chip.onUsbData = (bytes) => this.heard(DOOR.usb, bytes);
    this.chip.onUartData = (bytes) => this.heard(DOOR.uart, bytes);
    this.sense();
    this.followMains();
  }

  get boardId(): string {
    return this.chip.boardId;
  }

  get flash(): SimulatedFlash {
    return this.chip.flash;
  }

  run(ms: number): void {
    const endMs = this.nowMs + Math.max(0, Math.floor(ms));
    while (this.nowMs < endMs) {
      this.step(this.rig.stepEndMs(Math.min(endMs, this.nowMs + STEP_MS)) - this.nowMs);
    }
  }

  connect(listener: LinkListener, door: Door = DOOR.usb): LinkEnd | null {
    if (this.listeners.has(door)) return null;
    this.listeners.set(door, listener);
    if (door === DOOR.usb) this.chip.openUsb(true);
    return {
      door,
      write: (bytes) => this.write(door, bytes),
      close: () => {
        this.listeners.delete(door);
        if (door === DOOR.usb) this.chip.openUsb(false);
      },
    };
  }

  get bootDrive(): BootDriveEnd | null {
    return this.chip.bootDrive;
  }

  state(): BenchState {
    const on = this.chip.outputsOn;
    const seen = {
      outputs: () => (on.has('mat') ? OUTPUT.matOn : 0) | (on.has('pump') ? OUTPUT.pumpOn : 0),
      sounderOn: on.has('sounder'),
      lampOn: on.has('lamp'),
    };
    return stateOf(this.rig, seen, this.chip.isPowered, this.boots);
  }

  private step(stepMs: number): void {
    const { rig, chip } = this;
    const endMs = this.nowMs + stepMs;
    if (endMs > chip.nowMs) chip.run(endMs - chip.nowMs);
    const taken = (time: OnTime): number => Math.round(time.take(chip.nowMs, stepMs));
    const { onTime, closedTime } = this;
    rig.step(stepMs, taken(onTime.mat), taken(onTime.pump), {
      mat: taken(closedTime.mat),
      pump: taken(closedTime.pump),
    });
    this.sense();
    chip.convert(rig.scaleCode());
    this.followMains();
    this.noteStarts();
  }

  private switched(output: OutputName, on: boolean, atMs: number): void {
    if (output === 'mat' || output === 'pump') this.onTime[output].switched(on, atMs);
    const closes = on ? CLOSED_BY[output] : undefined;
    if (closes === undefined) return;
    for (const time of [this.onTime[closes], this.closedTime[closes]]) time.book(atMs);
  }

  private sense(): void {
    for (const name of PROBE_NAMES) {
      this.chip.adcCodes[PROBES[name].channel] = this.rig.probeCode(name);
    }
  }

  /**
   * Bytes to the board, and time for it to answer: a bench whose time stands still between runs would
   * never answer otherwise. The plant feels that time at its next step.
   */
  private write(door: Door, bytes: Uint8Array): void {
    const { chip } = this;
    const arriving = this.line.pass(bytes);
    if (door === DOOR.usb) chip.writeUsb(arriving);
    else chip.writeUart(arriving);
    const startMs = chip.nowMs;
    this.lastByteMs = startMs;
    this.lineEnded = false;
    while (chip.isPowered && chip.nowMs - startMs < ANSWER_MAX_MS) {
      chip.run(LOOK_MS);
      const onTheWay = (chip.usb?.onTheWay ?? 0) + (chip.uart?.onTheWay ?? 0);
      if (onTheWay > 0) this.lastByteMs = chip.nowMs;
      const silenceMs = this.lineEnded ? SILENCE_MS : WORK_SILENCE_MS;
      if (chip.isAsleep && chip.nowMs - this.lastByteMs >= silenceMs) break;
    }
    while (this.nowMs + STEP_MS <= chip.nowMs) this.step(STEP_MS);
  }

  private heard(door: Door, bytes: Uint8Array): void {
    this.lastByteMs = this.chip.nowMs;
    this.lineEnded = bytes[bytes.length - 1] === NEWLINE;
    this.listeners.get(door)?.(this.line.pass(bytes));
  }

  protected followMains(): void {
    const { rig, chip } = this;
    chip.hung = rig.faults.has('board-hung');
    const mains = !rig.faults.has('mains-cut');
    if (mains && !chip.isPowered) {
      chip.run(Math.max(0, this.nowMs - chip.nowMs));
      rig.powered();
      chip.powerOn();
    } else if (!mains && chip.isPowered) {
      chip.powerOff();
    }
    this.noteStarts();
  }

  private noteStarts(): void {
    for (const start of this.chip.starts.slice(this.startsSeen)) {
      if (this.boots.length >= BOOTS_KEPT) this.boots.shift();
      this.boots.push({ atMs: start.atMs, cause: causeOf(start), error: null });
    }
    this.startsSeen = this.chip.starts.length;
  }
}

/** Why the board starts, as the image will find out. */
export function causeOf(start: ChipStart): ResetCause {
  if (start.why === 'power') return 'power-on';
  if (start.why === 'watchdog-timer') return 'watchdog';
  if (start.why === 'boot-drive') {
    const asked = ((start.scratch[FAULTS_SCRATCH] ?? 0) & MARK_MASK) >>> 0 === BOOT_DRIVE_MARK;
    return asked ? 'request' : 'power-on';
  }
  return RESET_CAUSES[(start.scratch[0] ?? 0) & CAUSE_MASK] ?? 'fault';
}
