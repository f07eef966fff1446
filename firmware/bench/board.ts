/**
 * The simulated board: what the C runtime does on the chip, between the firmware and a rig. Leases,
 * limiter, hourly pump cap and watchdog are the runtime's, so that the firmware meets them here too.
 */
import {
  type Door,
  LIMITER,
  loadsSenseCode,
  MAT_LEASE_MAX_MS,
  MAT_LOOK,
  PUMP_LEASE_MAX_MS,
} from '../../shared/board/map';
import type { ProbeName } from '../../shared/board/probes';
import { MAT_LOOKED, type MatLooked, OUTPUT, type ResetCause } from '../../shared/board/words';
import { HOUR_MS } from '../../shared/units/time';
import type { Board } from '../board';
import type { FlashAccess } from '../storage/flash-access';
import { SimulatedLimiter } from './limiter';
import type { Rig } from './rig';

/** Thrown by `restart`, which does not return on the chip; the bench catches it. */
export class RestartRequest extends Error {
  override readonly name = 'RestartRequest';
}

/** The same of `enterBootDrive`. */
export class BootDriveRequest extends Error {
  override readonly name = 'BootDriveRequest';
}

/** Lease asked for, within its limit; anything that is no positive number is none. */
function lease(ms: number, maxMs: number): number {
  return ms > 0 ? Math.min(Math.floor(ms), maxMs) : 0;
}

/** The board of one bench; it outlives the firmware's restarts. */
export class SimulatedBoard implements Board {
  sounderOn = false;
  lampOn = false;
  private bootMs = 0;
  private cause: ResetCause = 'power-on';
  private detail = 0;
  private tickedMs = 0;
  private matUntilMs = 0;
  private pumpUntilMs = 0;
  private pumpHour = 0;
  private pumpHourMs = 0;
  private readonly limiter = new SimulatedLimiter();
  private readonly probeCode = (name: ProbeName): number => this.rig.probeCode(name);
  /** Of the looks at the mat's line: whether it was on at the last one, when the next is due, and whether that is the second of two. */
  private lookedOn = false;
  private nextLookMs = 0;
  private secondLook = false;
  /** A load had its supply when last none was asked for. */
  private fedUnasked = false;
  private readonly listeners = new Map<Door, (bytes: Uint8Array) => boolean>();

  constructor(
    private readonly rig: Rig,
    private readonly flash: FlashAccess,
    private readonly id: string,
  ) {}

  /** Start-up: every output off, clocks at zero, sensors read once. */
  boot(cause: ResetCause, detail: number): void {
    this.outputsOff();
    this.bootMs = this.nowMs;
    this.tickedMs = this.nowMs;
    this.cause = cause;
    this.detail = detail;
    this.pumpHour = 0;
    this.lookedOn = false;
    this.fedUnasked = false;
    // Only without power does the runtime forget: restarts must not buy the pump more time.
    if (cause === 'power-on' || cause === 'brown-out') this.pumpHourMs = 0;
    this.limiter.startAfresh();
    this.sense();
  }

  /** The controller is made: the limiter is told no more. */
  limitsEnd(): void {
    this.limiter.close();
    this.sense();
  }

  outputsOff(): void {
    this.matUntilMs = 0;
    this.pumpUntilMs = 0;
    this.sounderOn = false;
    this.lampOn = false;
  }

  /** Reads the probes and lets the limiter judge their codes, as the runtime does by itself. */
  sense(): void {
    this.limiter.judge(this.probeCode);
  }

  /** How long the mat is on in the next `stepMs`, ms. */
  matMs(stepMs: number): number {
    if (this.limiter.held !== 0) return 0;
    return Math.min(stepMs, Math.max(0, this.matUntilMs - this.nowMs));
  }

  /** How long the pump runs in the next `stepMs`, ms; it is booked on the hour's account. */
  spendPumpMs(stepMs: number): number {
    const leftMs = this.pumpUntilMs - this.nowMs;
    if (leftMs <= 0) return 0;
    const onMs = Math.min(stepMs, leftMs, this.pumpHourLeftMs());
    this.pumpHourMs += onMs;
    return onMs;
  }

  /** The pump has a lease now, though its hour may be spent. */
  get pumping(): boolean {
    return this.pumpUntilMs > this.nowMs;
  }

  /** A lease of the mat lasts `ms` longer, as ticks in between would have had it. */
  prolongLease(ms: number): void {
    if (this.matUntilMs > this.nowMs) this.matUntilMs += ms;
  }

  /** A complete tick feeds the watchdog. */
  fed(): void {
    this.tickedMs = this.nowMs;
  }

  get starved(): boolean {
    return this.nowMs - this.tickedMs >= LIMITER.watchdogMs;
  }

  /** Who takes the bytes of a door; null: nobody listens. The listener says whether it took them. */
  listen(door: Door, listener: ((bytes: Uint8Array) => boolean) | null): void {
    if (listener === null) this.listeners.delete(door);
    else this.listeners.set(door, listener);
  }

  isTaken(door: Door): boolean {
    return this.listeners.has(door);
  }

  clockMs(): number {
    return this.nowMs - this.bootMs;
  }

  resetCause(): ResetCause {
    return this.cause;
  }

  resetDetail(): number {
    return this.detail;
  }

  boardId(): string {
    return this.id;
  }

  limitProbe(channel: number, hotCode: number, openCode: number, shortCode: number): boolean {
    return this.limiter.tell(channel, hotCode, openCode, shortCode);
  }

  readProbe(channel: number): number {
    return this.limiter.codes[channel] ?? Number.NaN;
  }

  readScale(): number {
    return this.rig.scaleCode();
  }

  /** Looks are made where they are asked for: a tick later than on the chip at most. */
  takeMatLook(): MatLooked {
    const on = this.matOn;
    const switched = on !== this.lookedOn;
    // As it is let go its second switch is closed yet.
    if (!on && !switched && !this.pumpOn) {
      this.fedUnasked = this.rig.supplies('mat', false) || this.rig.supplies('pump', false);
    }
    if (!switched && !(on && this.nowMs >= this.nextLookMs)) return MAT_LOOKED.not;
    this.lookedOn = on;
    this.secondLook = switched || !this.secondLook;
    this.nextLookMs = this.nowMs + (this.secondLook ? MAT_LOOK.againMs : MAT_LOOK.everyMs);
    // With the pump fed, asked for or not, the line tells nothing of the mat.
    if (this.pumpOn || this.fedUnasked || !this.rig.supplies('mat', true)) return MAT_LOOKED.not;
    return on ? MAT_LOOKED.asAsked : MAT_LOOKED.asLetGo;
  }

  matLookCode(closed: boolean): number {
    return loadsSenseCode(this.rig.loadNodes({ mat: true, pump: false }, closed));
  }

  leaseMat(ms: number): void {
    if (ms > 0) this.limiter.close();
    this.matUntilMs = this.nowMs + lease(ms, MAT_LEASE_MAX_MS);
  }

  leasePump(ms: number): void {
    if (ms > 0) this.limiter.close();
    this.pumpUntilMs = this.nowMs + lease(ms, PUMP_LEASE_MAX_MS);
  }

  outputs(): number {
    const { matOn, pumpOn } = this;
    return (
      (matOn ? OUTPUT.matOn : 0) |
      (pumpOn ? OUTPUT.pumpOn : 0) |
      (this.rig.supplies('mat', matOn) || this.rig.supplies('pump', pumpOn)
        ? OUTPUT.loadsLive
        : 0) |
      (this.pumpHourLeftMs() > 0 ? 0 : OUTPUT.pumpHourSpent) |
      this.limiter.held
    );
  }

  setSounder(on: boolean): void {
    this.sounderOn = on;
  }

  setLamp(on: boolean): void {
    this.lampOn = on;
  }

  flashRead(offset: number, into: Uint8Array): void {
    this.flash.flashRead(offset, into);
  }

  flashProgram(offset: number, bytes: Uint8Array): boolean {
    return this.flash.flashProgram(offset, bytes);
  }

  flashErase(offset: number): boolean {
    return this.flash.flashErase(offset);
  }

  send(door: Door, bytes: Uint8Array): boolean {
    return this.listeners.get(door)?.(bytes) ?? false;
  }

  restart(): void {
    this.outputsOff();
    throw new RestartRequest();
  }

  enterBootDrive(): void {
    this.outputsOff();
    throw new BootDriveRequest();
  }

  private get nowMs(): number {
    return this.rig.plant.nowMs;
  }

  /** It is leased, and the limiter lets it. */
  private get matOn(): boolean {
    return this.matMs(1) > 0;
  }

  /** It is leased, and has not run all that it may in this hour. */
  private get pumpOn(): boolean {
    return this.pumping && this.pumpHourLeftMs() > 0;
  }

  private pumpHourLeftMs(): number {
    const hour = Math.floor(this.clockMs() / HOUR_MS);
    if (hour !== this.pumpHour) {
      this.pumpHour = hour;
      this.pumpHourMs = 0;
    }
    return LIMITER.pumpMaxMsPerHour - this.pumpHourMs;
  }
}
