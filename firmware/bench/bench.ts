/**
 * The bench in-process: firmware on a simulated board, on a rig, in simulated time. Synchronous and
 * deterministic: the same seed, options and calls give the same run.
 */

import { DOOR, type Door } from '../../shared/board/map';
import { REQUEST_DETAIL, type ResetCause } from '../../shared/board/words';
import { detailOf } from '../assert';
import type { Board } from '../board';
import type { Controller } from '../controller';
import { createController } from '../main';
import { BootDriveRequest, RestartRequest, SimulatedBoard } from './board';
import { BootDrive } from './boot-drive';
import { PowerCut, SimulatedFlash } from './flash';
import { Line } from './line';
import { Pace, type PaceOptions, TICK_MS } from './pace';
import { Rig, type RigOptions } from './rig';
import { RiggedBench } from './rigged-bench';
import type { BootDriveEnd, LinkEnd, LinkListener, ServableBench } from './servable';
import { type BenchState, type BootRecord, stateOf } from './state';

export interface BenchOptions extends RigOptions, PaceOptions {
  /** Makes the controller at each start of the board; the real firmware unless given. */
  readonly firmware?: (board: Board) => Controller;
  /** The last 32 bits of the board's number; those of the seed unless given. */
  readonly boardNumber?: number;
  /** What is on the flash chip, for a board with a past; all erased unless given. */
  readonly flashContents?: Uint8Array;
  /** Lets through what the firmware throws, once the outputs are off. Tests want to see it. */
  readonly rethrow?: boolean;
}

/** Simulated time of well below a millisecond of work, ms. */
const CHUNK_MS = 500_000;
/** Longer runs of starts are of no use to anybody; the oldest are forgotten. */
const BOOTS_KEPT = 1000;

export class Bench extends RiggedBench implements ServableBench {
  readonly chunkMs = CHUNK_MS;
  private readonly pace: Pace;
  readonly rig: Rig;
  readonly board: SimulatedBoard;
  readonly flash: SimulatedFlash;
  /** Starts of the board, oldest first. */
  readonly boots: BootRecord[] = [];
  private controller: Controller | null = null;
  private powered = false;
  /** In place of the firmware. */
  private shown: (BootDriveEnd & { readonly drive: BootDrive }) | null = null;
  /** Its boot stage was erased, and never came back: such a board starts as a drive. */
  private isImageTorn = false;
  private nextTickMs = 0;
  /** How much later than a second after the last tick the next one comes, ms. */
  private leftOutMs = 0;
  private readonly line: Line;
  private readonly firmware: (board: Board) => Controller;

  constructor(private readonly options: BenchOptions) {
    super();
    const { seed, flashContents } = options;
    this.firmware = options.firmware ?? createController;
    this.rig = new Rig(options);
    this.pace = new Pace(this.rig, options);
    this.line = new Line(seed, () => this.rig.faults.has('link-noise'));
    this.flash = new SimulatedFlash({
      seed,
      ...(flashContents === undefined ? {} : { contents: flashContents }),
    });
    this.board = new SimulatedBoard(this.rig, this.flash, boardIdOf(options.boardNumber ?? seed));
    this.followMains();
  }

  get boardId(): string {
    return this.board.boardId();
  }

  /** Time of day in the room, Unix ms. */
  get unixMs(): number {
    return this.rig.unixMs;
  }

  /** Simulates `ms` milliseconds; the firmware ticks at each full second of its uptime, or see `PaceOptions`. */
  run(ms: number): void {
    const endMs = this.nowMs + Math.max(0, Math.floor(ms));
    this.wake();
    while (this.nowMs < endMs) {
      const wholeStepMs = Math.min(endMs, this.nextTickMs, this.nowMs + this.pace.plantStepMs);
      this.step(this.rig.stepEndMs(wholeStepMs) - this.nowMs);
      if (this.nowMs >= this.nextTickMs) this.tick();
      else this.wake();
    }
  }

  /** Restarts the board for a reason that is not in the simulation, such as a brown-out. */
  reset(cause: ResetCause, detail = 0): void {
    if (this.powered) this.boot(cause, detail, null);
  }

  /** Takes a door of the link; null when it is taken already. */
  connect(listener: LinkListener, door: Door = DOOR.usb): LinkEnd | null {
    if (this.board.isTaken(door)) return null;
    this.board.listen(door, (bytes) => listener(this.line.pass(bytes)) !== false);
    return {
      door,
      write: (bytes) => this.receive(door, bytes),
      close: () => this.board.listen(door, null),
    };
  }

  get bootDrive(): BootDriveEnd | null {
    return this.shown;
  }

  /** Whether firmware runs, and would answer a request. */
  get answers(): boolean {
    return this.controller !== null && !this.rig.faults.has('board-hung');
  }

  /** What is really so. */
  state(): BenchState {
    return stateOf(this.rig, this.board, this.powered, this.boots);
  }

  private step(stepMs: number): void {
    const { board, rig } = this;
    const running = this.powered;
    rig.step(stepMs, running ? board.matMs(stepMs) : 0, running ? board.spendPumpMs(stepMs) : 0);
    if (rig.faults.has('mains-cut') === this.powered) this.followMains();
  }

  private tick(): void {
    this.nextTickMs += TICK_MS;
    this.leftOutMs = 0;
    if (!this.powered) {
      if (this.pace.leavesOutDark) this.leaveOutCalmTicks();
      return;
    }
    if (this.shown !== null) {
      if (this.shown.drive.isComplete) this.leaveBootDrive();
      return;
    }
    this.board.sense();
    const { controller } = this;
    if (controller === null) {
      this.boot('exception', 0, null);
    } else if (!this.rig.faults.has('board-hung')) {
      this.tickFirmware(controller);
    } else if (this.board.starved) {
      this.boot('watchdog', 0, null);
    }
    this.leaveOutCalmTicks();
  }

  private get isCalm(): boolean {
    if (this.board.pumping) this.pace.pumped();
    return this.pace.isCalm;
  }

  /** The next tick comes later, and leases last as if the ticks between had renewed them. */
  private leaveOutCalmTicks(): void {
    const { board, pace } = this;
    if (board.pumping) pace.pumped();
    const leftOutMs = pace.gapMs(board.clockMs()) - TICK_MS;
    if (leftOutMs <= 0) return;
    this.leftOutMs = leftOutMs;
    board.prolongLease(leftOutMs);
    this.nextTickMs += leftOutMs;
  }

  /** Something happens before a late tick. */
  private wake(): void {
    if (!this.isCalm) this.tickAtNextSecond();
  }

  /** The firmware ticks at the next second, as ever. */
  private tickAtNextSecond(): void {
    if (this.leftOutMs === 0) return;
    const { board, nextTickMs, nowMs } = this;
    const soonerMs = Math.floor((nextTickMs - nowMs - 1) / TICK_MS) * TICK_MS;
    board.prolongLease(-soonerMs);
    board.fed();
    this.nextTickMs -= soonerMs;
    this.leftOutMs = 0;
  }

  // Whatever the firmware throws turns the outputs off and restarts it, as the runtime does.

  private tickFirmware(controller: Controller): void {
    try {
      controller.tick();
      this.board.fed();
      controller.rest();
    } catch (error) {
      this.recover(error);
    }
  }

  private receive(door: Door, bytes: Uint8Array): void {
    const { controller } = this;
    if (controller === null || this.rig.faults.has('board-hung')) return;
    const arrived = this.line.pass(bytes);
    try {
      controller.receive(door, arrived);
    } catch (error) {
      this.recover(error);
    }
    // What was asked for may be for the next tick to do.
    this.tickAtNextSecond();
  }

  private recover(error: unknown): void {
    this.board.outputsOff();
    if (error instanceof PowerCut) {
      this.cutPower();
    } else if (error instanceof RestartRequest) {
      this.boot('request', 0, null);
    } else if (error instanceof BootDriveRequest) {
      this.controller = null;
      this.showBootDrive();
    } else {
      if (this.options.rethrow === true) throw error;
      this.boot(
        'exception',
        detailOf(error),
        error instanceof Error ? (error.stack ?? error.message) : `${error}`,
      );
    }
  }

  protected followMains(): void {
    const mains = !this.rig.faults.has('mains-cut');
    if (mains === this.powered) return;
    this.powered = mains;
    if (mains) {
      this.flash.restore();
      this.rig.powered();
      if (this.isImageTorn) this.showBootDrive();
      else this.boot('power-on', 0, null);
    } else {
      this.flash.cutPower();
      this.board.outputsOff();
      this.controller = null;
      this.shown = null;
    }
  }

  private showBootDrive(): void {
    const drive = new BootDrive(this.flash);
    this.shown = { drive, write: (sector) => this.intoBootDrive(drive, sector) };
  }

  /** The firmware of this process stays what it is, whatever the image. */
  private intoBootDrive(drive: BootDrive, sector: Uint8Array): void {
    if (this.shown?.drive !== drive) return;
    if (!drive.take(sector)) {
      this.isImageTorn ||= drive.isBegun;
      this.cutPower();
      return;
    }
    this.isImageTorn = (this.isImageTorn || drive.isBegun) && !drive.isComplete;
  }

  private leaveBootDrive(): void {
    this.shown = null;
    this.boot('request', REQUEST_DETAIL.bootDrive, null);
  }

  private boot(cause: ResetCause, detail: number, error: string | null): void {
    if (this.boots.length >= BOOTS_KEPT) this.boots.shift();
    this.boots.push({ atMs: this.nowMs, cause, error });
    this.controller = null;
    this.board.boot(cause, detail);
    this.pace.started();
    this.leftOutMs = 0;
    this.nextTickMs = this.nowMs + TICK_MS;
    try {
      this.controller = this.firmware(this.board);
      this.board.limitsEnd();
    } catch (thrown) {
      this.board.outputsOff();
      if (thrown instanceof PowerCut) this.cutPower();
      // Any other start that fails is tried again at the next tick, as the watchdog would.
      else if (this.options.rethrow === true) throw thrown;
    }
  }
}

/** A bench on which nothing has been done yet: empty scale, dry tray beside it, board just started. */
export function createBench(options: BenchOptions): Bench {
  return new Bench(options);
}

/** Sixteen hex digits that end with `number`. */
function boardIdOf(number: number): string {
  return (0xe661_0000_0000_0000n + BigInt(number >>> 0)).toString(16).padStart(16, '0');
}
