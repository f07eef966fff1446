/**
 * The running controller: senses, run state, alarms and storage of one tray, opened from flash at
 * boot. The tick (`tick.ts`) moves it on, the handlers answer the grower from it.
 */
import { PROBE_CHANNEL } from '../../shared/board/map';
import { FAULT, RESET_CAUSES } from '../../shared/board/words';
import { type JournalBody, NO_STAGE } from '../../shared/journal/kinds';
import type { HeldBy } from '../../shared/link/held';
import type { PumpCalibration } from '../../shared/link/methods';
import { temperatureFromCode } from '../../shared/physics/ntc';
import { gFromMl } from '../../shared/physics/water';
import { decodeProfile } from '../../shared/profile/image';
import type { Band, Profile, Stage } from '../../shared/profile/profile';
import type { Board } from '../board';
import { WATER_IDLE, type WaterState } from '../control/dose';
import { HEAT_OFF, type HeatState } from '../control/heat';
import { stageOf } from '../control/stages';
import { isHandled, NO_WEIGHT, type WeightState } from '../control/weight';
import { AlarmBank } from '../guard/alarm-bank';
import { GUARD_LIMITS, WATER_LIMITS } from '../limits';
import { ProbeSense } from '../sensing/probe';
import { ScaleSense } from '../sensing/scale';
import { type Journal, openJournal } from '../storage/journal';
import { type ProfileSlots, profileSlots } from '../storage/profile-slots';
import { openSettings, type Settings } from '../storage/settings';
import { FIRMWARE_VERSION_CODE } from '../version';
import { CalibrationStore } from './calibrations';
import {
  CHECKPOINT_BYTES,
  emptyRunState,
  packCheckpoint,
  type RunState,
  unpackCheckpoint,
} from './checkpoint';
import { SETTING } from './setting-keys';

/** First entry of `RESET_CAUSES` that is a fault of the board, not a hand on its supply. */
const FIRST_FAULT = RESET_CAUSES.indexOf('watchdog');

/** One tray: made once at each start, with what flash holds of it. */
export class Tray {
  readonly settings: Settings;
  readonly journal: Journal;
  readonly slots: ProfileSlots;
  readonly calibrations: CalibrationStore;
  readonly alarms: AlarmBank;
  readonly rootZone = new ProbeSense(temperatureFromCode);
  readonly mat = new ProbeSense(temperatureFromCode);
  readonly scale = new ScaleSense();
  readonly run: RunState = emptyRunState();

  profile: Profile | null = null;
  boot = 0;
  /** Time of day at uptime 0, Unix ms; NaN while unknown. */
  unixAtBootMs = Number.NaN;

  /**
   * Time of day at uptime 0, had the board not been off before, Unix ms; 0 when unknown, and once the
   * outage has been accounted for.
   */
  offSinceUnixMs = 0;
  /** Pump time of the last run, ms. */
  lastRunMs = 0;

  /** Uptime of the running tick, ms. */
  uptimeMs = 0;
  /** Bits of `OUTPUT` at the start of the tick. */
  outputs = 0;
  heat: HeatState = HEAT_OFF;
  water: WaterState = WATER_IDLE;
  weight: WeightState = NO_WEIGHT;
  /** Weight without handling's share, g; NaN while unknown. */
  trayG = Number.NaN;
  /** How fast the tray dried when it was last left alone for a while, g/ms. */
  dryingGPerMs = 0;
  /** 0 at container capacity, 1 when dry; NaN while unknown. */
  dryBackShare = Number.NaN;
  /** A watering cycle is under way: from the start share down to the stop share. */
  cycling = false;
  /** Why the mat, or the water, is held off; null when it is free. */
  heatHeldBy: HeldBy | null = null;
  waterHeldBy: HeldBy | null = null;
  /** The band in force now: day, night, or none. */
  band: Band | null = null;
  /** Something was lost because the flash did not take it; until the next start. */
  storageFailed = false;
  /** The newest checkpoint is on the flash: what is charged now survives a power cut. */
  runKept = true;

  constructor(readonly board: Board) {
    this.settings = openSettings(board);
    this.journal = openJournal(board);
    this.slots = profileSlots(board);
    this.calibrations = new CalibrationStore(this.settings);
    this.alarms = new AlarmBank((record, change, forS) => {
      this.write({
        kind: 'alarm',
        alarm: record.name,
        change,
        stage: this.run.stage,
        value: record.value,
        limit: record.limit,
        forS,
      });
      if (change === 'raised') this.onAlarm();
      this.stale = true;
    });
    this.#open();
  }

  /** The checkpoint no longer tells the truth; the tick writes it before it ends. */
  stale = false;
  /** Told when an alarm is raised, for the dense record. */
  onAlarm: () => void = () => {};

  get stage(): Stage | null {
    return stageOf(this.profile, this.run.stage);
  }

  get sown(): boolean {
    return this.run.stage !== NO_STAGE;
  }

  get pump(): PumpCalibration | null {
    return this.calibrations.pump;
  }

  /** Time of day at `uptimeMs`, Unix ms; NaN while unknown. */
  readonly unixMs = (uptimeMs: number): number => this.unixAtBootMs + uptimeMs;

  /** Minute of the local day, 0..1439, or null while the time of day is unknown. */
  minuteOfDay(uptimeMs: number): number | null {
    const unixMs = this.unixMs(uptimeMs);
    if (Number.isNaN(unixMs)) return null;
    const minutes = Math.floor(unixMs / 60_000) + (this.profile?.utcOffsetMin ?? 0);
    return ((minutes % 1440) + 1440) % 1440;
  }

  /** Appends to the journal; a failing flash is an alarm, never an exception. */
  write(body: JournalBody, uptimeMs = this.uptimeMs): void {
    if (!this.journal.append(this.boot, uptimeMs, body)) this.storageFailed = true;
  }

  /** Writes the run state down. */
  checkpoint(): void {
    this.stale = false;
    const { run } = this;
    const { weight, uptimeMs, offSinceUnixMs } = this;
    run.shiftG = weight.shiftG;
    // In the middle of handling the weight from before: a restart must notice the hand again.
    run.settledG = isHandled(weight) ? weight.beforeG : weight.settledG;
    const unixMs = this.unixMs(uptimeMs);
    // While the clock is unknown, an outage not yet accounted for stays behind it.
    run.unixMs = Number.isNaN(unixMs) ? offSinceUnixMs && offSinceUnixMs + uptimeMs : unixMs;
    this.alarms.codes(run.alarmStates);
    packCheckpoint(run, this.#packed);
    this.runKept = this.settings.set(SETTING.run, this.#packed);
    if (!this.runKept) this.storageFailed = true;
  }
  readonly #packed = new Uint8Array(CHECKPOINT_BYTES);

  /** Puts the calibrations in force into the senses. */
  applyCalibrations(): void {
    this.rootZone.calibrate(this.calibrations.probe(PROBE_CHANNEL.rootZone)?.offsetK ?? 0);
    this.mat.calibrate(this.calibrations.probe(PROBE_CHANNEL.mat)?.offsetK ?? 0);
    this.scale.calibration = this.calibrations.scale[0] ?? null;
  }

  /** Takes a decoded profile over; the caller has checked it. */
  useProfile(profile: Profile | null, id: number, slot: number): void {
    this.profile = profile;
    this.run.profileId = id;
    this.run.slot = slot;
    this.cycling = false;
  }

  #open(): void {
    this.uptimeMs = this.board.clockMs();
    this.boot = this.calibrations.nextBoot();
    this.applyCalibrations();
    const resumed = this.#resumeRun();
    this.#openProfile();
    const cause = RESET_CAUSES.indexOf(this.board.resetCause());
    const faultRestarts = this.#countRestart(cause);
    this.write({
      kind: 'boot',
      cause,
      detail: this.board.resetDetail(),
      firmware: FIRMWARE_VERSION_CODE,
      profileId: this.run.profileId,
      faultRestarts,
    });
    if (!resumed && this.settings.get(SETTING.run) !== null) {
      this.write({ kind: 'fault', code: FAULT.runStateLost, detail: 0 });
    }
    this.#endPendingDose();
    if (cause >= FIRST_FAULT && faultRestarts >= GUARD_LIMITS.restartsPerHour) {
      this.alarms.strike(
        'restarting-often',
        this.uptimeMs,
        faultRestarts,
        GUARD_LIMITS.restartsPerHour,
      );
    }
    this.checkpoint();
  }

  #resumeRun(): boolean {
    const packed = this.settings.get(SETTING.run);
    if (packed === null || !unpackCheckpoint(packed, this.run)) return false;
    this.weight = { ...NO_WEIGHT, shiftG: this.run.shiftG, settledG: this.run.settledG };
    this.offSinceUnixMs = this.run.unixMs;
    this.alarms.restore(this.run.alarmStates);
    return true;
  }

  /** The stored profile, if the image is whole, in its limits, and the one the run state speaks of. */
  #openProfile(): void {
    if (this.run.profileId === 0) return;
    const image = this.slots.load(this.run.slot);
    const decoded = image === null ? null : decodeProfile(image);
    if (decoded?.ok === true && decoded.id === this.run.profileId) this.profile = decoded.profile;
  }

  #countRestart(cause: number): number {
    const { faultRestarts, totalRunMs } = this.run;
    if (cause >= FIRST_FAULT) {
      faultRestarts.copyWithin(1, 0);
      faultRestarts[0] = totalRunMs;
    }
    let recent = 0;
    for (const runMs of faultRestarts) {
      if (totalRunMs - runMs <= GUARD_LIMITS.restartWindowMs) recent++;
    }
    return recent;
  }

  /** A dose that nobody could weigh: one is chance, but water must not run on so, dose after dose. */
  countUnproved(plannedMl: number): void {
    if (++this.run.unproved < WATER_LIMITS.unprovedMax) return;
    this.run.unproved = 0;
    this.alarms.strike('dose-not-seen', this.uptimeMs, Number.NaN, gFromMl(plannedMl));
  }

  /** A dose was running when the power went: all of it counts, and it can no longer be proved. */
  #endPendingDose(): void {
    const { pendingMl } = this.run;
    if (pendingMl === 0) return;
    this.write({
      kind: 'dose',
      // The only dose of a hold.
      reason: this.stage?.kind === 'hold' ? 'rescue' : 'dry-back',
      verdict: 'cut',
      stage: this.run.stage,
      plannedMl: pendingMl,
      ranMs: 0,
      beforeG: this.run.settledG,
      gainedG: Number.NaN,
    });
    this.run.pendingMl = 0;
    this.countUnproved(pendingMl);
  }
}
