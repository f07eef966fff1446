/** One control tick: sense, pass time, guard, water, heat, tell, write down - in this order. */
import { inDayWindow, nextHeat } from '../control/heat';
import { MatWatch } from '../guard/mat-watch';
import { ProbeWatch } from '../guard/probe-watch';
import { PumpWatch } from '../guard/pump-watch';
import { WaterWatch } from '../guard/water-watch';
import { WeightWatch } from '../guard/weight-watch';
import { HEAT_LIMITS } from '../limits';
import type { Tray } from '../tray/tray';
import { passHours } from '../tray/water-account';
import { Recorder } from './recorder';
import { sense } from './sense';
import { passStageTime } from './staging';
import { Watering } from './watering';

const MINUTE_MS = 60_000;
/** Sounder: on for one tick in so many. */
const SOUND_EVERY = 3;
/** Lamp while all is well: on for one tick in so many. */
const HEARTBEAT_EVERY = 5;

/** Moves one tray on, tick by tick. */
export class Ticker {
  readonly recorder: Recorder;
  readonly weightWatch: WeightWatch;
  readonly #probeWatch: ProbeWatch;
  readonly #matWatch: MatWatch;
  readonly #waterWatch: WaterWatch;
  readonly #pumpWatch: PumpWatch;
  readonly #watering: Watering;
  #ticks = 0;
  #minuteMs = 0;

  constructor(readonly tray: Tray) {
    this.recorder = new Recorder(tray);
    this.#probeWatch = new ProbeWatch(tray);
    this.#matWatch = new MatWatch(tray);
    this.weightWatch = new WeightWatch(tray);
    this.#waterWatch = new WaterWatch(tray);
    this.#pumpWatch = new PumpWatch(tray);
    this.#watering = new Watering(tray);
  }

  /** One tick. Time is the board's: a late or missing tick only makes the step longer. */
  tick(): void {
    const { tray } = this;
    const uptimeMs = tray.board.clockMs();
    const dtMs = Math.max(0, uptimeMs - tray.uptimeMs);
    tray.uptimeMs = uptimeMs;
    this.#ticks++;
    sense(tray, dtMs);
    this.#passTime(dtMs);
    this.#guard(uptimeMs);
    this.#watering.tick(dtMs);
    this.#heat(uptimeMs);
    this.#tell();
    this.recorder.tick(dtMs);
  }

  /** The grower's stop: whatever the pump is doing, it ends with this call. */
  stopPump(): { ranMs: number } {
    return this.#watering.stop();
  }

  #passTime(dtMs: number): void {
    const { run } = this.tray;
    run.totalRunMs += dtMs;
    run.sinceSoakedMs += dtMs;
    passHours(run, dtMs);
    passStageTime(this.tray, dtMs, 'run-time');
  }

  #guard(uptimeMs: number): void {
    const { tray } = this;
    this.#probeWatch.tick(uptimeMs);
    this.weightWatch.tick(uptimeMs);
    this.#pumpWatch.tick(uptimeMs);
    tray.alarms.expireShelving(uptimeMs);
    if (uptimeMs - this.#minuteMs < MINUTE_MS) return;
    const sinceMs = uptimeMs - this.#minuteMs;
    this.#minuteMs = uptimeMs;
    tray.band = this.#bandNow(uptimeMs);
    this.#matWatch.minute(uptimeMs);
    this.weightWatch.minute(uptimeMs);
    this.#waterWatch.minute(uptimeMs, sinceMs);
    const { alarms, storageFailed } = tray;
    alarms.set('storage-failing', storageFailed, uptimeMs, 0, 0);
  }

  /** Night band in the profile's night, while the time of day is known. */
  #bandNow(uptimeMs: number) {
    const { stage, profile } = this.tray;
    if (stage === null) return null;
    const night = profile?.night ?? null;
    if (stage.nightBand === null || night === null) return stage.band;
    const minute = this.tray.minuteOfDay(uptimeMs);
    const isNight = minute !== null && inDayWindow(night.startMin, night.endMin, minute);
    return isNight ? stage.nightBand : stage.band;
  }

  #heat(uptimeMs: number): void {
    const { tray } = this;
    const { alarms, rootZone, mat, stage } = tray;
    tray.heatHeldBy =
      alarms.matHeldBy ??
      (stage === null
        ? 'not-sown'
        : rootZone.doubtful || Number.isNaN(mat.celsius)
          ? 'probe'
          : null);
    const interlocked = tray.heatHeldBy !== null;
    if (stage !== null && tray.band === null) tray.band = this.#bandNow(uptimeMs);
    const { band } = tray;
    tray.heat = nextHeat(tray.heat, rootZone.celsius, uptimeMs, interlocked, band, HEAT_LIMITS);
    tray.board.leaseMat(tray.heat.on ? HEAT_LIMITS.leaseMs : 0);
  }

  /** Lamp: a short blink now and then - all well; steady blinking - an alarm nobody has accepted. */
  #tell(): void {
    const { alarms, board } = this.tray;
    const asks = alarms.unaccepted;
    board.setLamp(asks ? this.#ticks % 2 === 0 : this.#ticks % HEARTBEAT_EVERY === 0);
    board.setSounder(alarms.sounding && this.#ticks % SOUND_EVERY === 0);
  }
}
