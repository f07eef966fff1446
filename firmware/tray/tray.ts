/**
 * What every part of the controller shares: the board, what its flash holds, the alarms, the profile that
 * runs, and the run state to look at. Opened by `open.ts`; moved on by `tick/`; told by `handlers/`.
 */

import { type OfProbes, PROBES, type ProbeName } from '../../shared/board/probes';
import { isSameBytes } from '../../shared/bytes';
import { type JournalBody, NO_STAGE } from '../../shared/journal/kinds';
import type { CurveInForce, PumpCalibration } from '../../shared/link/methods';
import type { ProbeCurve } from '../../shared/physics/probe-curve';
import type { Medium, Profile, Stage } from '../../shared/profile/profile';
import { spreadNeedMl } from '../../shared/profile/spread';
import type { Board } from '../board';
import type { PowerCut } from '../control/outage';
import { stageOf } from '../control/stages';
import { AlarmBank, type AlarmListener } from '../guard/alarm-bank';
import type { BandSoFar } from '../guard/band-watch';
import type { Journal } from '../storage/journal';
import { type ProfileSlots, profileSlots } from '../storage/profile-slots';
import type { Settings } from '../storage/settings';
import { packAlarms, unpackAlarms } from './alarm-memory';
import type { CalibrationStore } from './calibrations';
import { CHECKPOINT_BYTES, CheckpointPacker } from './checkpoint';
import type { Program, RunState, RunView, Service } from './run-state';
import { SETTING } from './setting-keys';
import { WallClock } from './wall-clock';

const NO_RESISTANCES: ProbeCurve = {
  at0Ohm: Number.NaN,
  at25Ohm: Number.NaN,
  at50Ohm: Number.NaN,
};

/** One tray: made once at each start, by `openTray`. */
export class Tray {
  readonly slots: ProfileSlots;
  readonly alarms: AlarmBank;
  readonly clock: WallClock;

  /** What survives a power cut. */
  readonly run: RunView;

  /** What was known before this start of a root zone outside its band. */
  readonly bandBefore: BandSoFar;

  readonly #program: Program;
  readonly #service: Service;
  readonly #packed = new Uint8Array(CHECKPOINT_BYTES);
  readonly #packer = new CheckpointPacker();
  #profile: Profile | null = null;
  #uptimeMs: number;
  #stale = false;
  #storageFailed = false;
  #runKept = true;
  /** The alarms as the flash remembers them. */
  #remembered: Uint8Array | null = null;
  #onRaised: () => void = () => {};
  readonly #beforeC: number;
  #afterC = Number.NaN;
  #outage: PowerCut | null = null;

  constructor(
    readonly board: Board,
    readonly settings: Settings,
    readonly calibrations: CalibrationStore,
    readonly journal: Journal,
    /** Number of this start, from 1. */
    readonly boot: number,
    state: RunState,
    /** What each probe is read by in this start. */
    readonly curves: OfProbes<CurveInForce>,
  ) {
    this.run = state;
    this.#program = state.program;
    this.#service = state.service;
    this.#uptimeMs = board.clockMs();
    this.#beforeC = state.service.rootZoneC;
    state.service.rootZoneC = Number.NaN;
    const { outOfBandMs, trendRoseK: roseK, trendForMin: forMin } = state.service;
    this.bandBefore = { outOfBandMs, trend: { roseK, forMin } };
    this.slots = profileSlots(board);
    this.clock = new WallClock(state.service.unixMs);
    this.alarms = new AlarmBank(this.#alarmChanged);
  }

  get profile(): Profile | null {
    return this.#profile;
  }

  /** Uptime of the running tick, ms. */
  get uptimeMs(): number {
    return this.#uptimeMs;
  }

  get stage(): Stage | null {
    return stageOf(this.#profile, this.run.progress.stage);
  }

  get sown(): boolean {
    return this.run.progress.stage !== NO_STAGE;
  }

  /** What stands on the scale: the stage's pieces, or those that stayed when some moved on; null without a profile. */
  get medium(): Medium | null {
    const { profile, stage } = this;
    const medium = profile?.media[stage?.medium ?? profile.stages[0]?.medium ?? 0];
    if (medium === undefined) return null;
    const { pieces } = this.run.progress;
    return pieces < medium.pieces ? { ...medium, pieces } : medium;
  }

  /** Smallest dose that reaches every piece, ml; 0 where the profile does not say how water is spread. */
  get spreadMl(): number {
    const spread = this.#profile?.spread ?? null;
    return spread === null ? 0 : spreadNeedMl(spread);
  }

  get pump(): PumpCalibration | null {
    return this.calibrations.pump;
  }

  /** Minute of the local day, 0..1439, or null while the time of day is unknown. */
  get minuteOfDay(): number | null {
    return this.clock.minuteOfDay(this.#uptimeMs, this.#profile?.utcOffsetMin ?? 0);
  }

  /** Something was lost because the flash did not take it; until the next start. */
  get storageFailed(): boolean {
    return this.#storageFailed;
  }

  /** The newest checkpoint is on the flash: what is charged now survives a power cut. */
  get runKept(): boolean {
    return this.#runKept;
  }

  /** A tick begins: time passes for all. Returns how much, ms. */
  beginTick(uptimeMs: number): number {
    const dtMs = Math.max(0, uptimeMs - this.#uptimeMs);
    this.#uptimeMs = uptimeMs;
    this.#service.totalRunMs += dtMs;
    return dtMs;
  }

  /** The root zone as it is now, degrees Celsius: what a power cut will find, and what it has left. */
  noteRootZone(celsius: number): void {
    if (Number.isNaN(celsius)) return;
    this.#service.rootZoneC = celsius;
    if (Number.isNaN(this.#afterC)) this.#afterC = celsius;
  }

  /** For how long water has been held off, ms: a power cut every few hours must not begin that anew. */
  noteWaterHeld(forMs: number): void {
    this.#service.waterHeldMs = forMs;
  }

  /** What is known of a root zone outside its band: nor must a start begin that anew. */
  noteBand({ outOfBandMs, trend }: BandSoFar): void {
    this.#service.outOfBandMs = outOfBandMs;
    this.#service.trendRoseK = trend.roseK;
    this.#service.trendForMin = trend.forMin;
  }

  /** The clock tells for how long the board was off before this start, ms; 0 takes back what an earlier one told. */
  noteOutage(forMs: number): void {
    this.#outage = forMs > 0 ? { forMs, beforeC: this.#beforeC, afterC: this.#afterC } : null;
    this.alarms.tellOutage(forMs);
  }

  /** The time before this start, as far as readings and clock have told. */
  get unwatched(): PowerCut {
    return this.#outage ?? { forMs: Number.NaN, beforeC: this.#beforeC, afterC: this.#afterC };
  }

  /** The power cut that ended with this start; null when there was none, or no clock has told. */
  get outage(): PowerCut | null {
    return this.#outage;
  }

  /**
   * Keeps what was told of a probe's curve, null: that it is the reference one. It is in force from the next start on.
   * False when the flash failed: nothing has changed.
   */
  keepCurve(name: ProbeName, curve: ProbeCurve | null, unixMs: number): boolean {
    const field = PROBES[name].curve;
    const newest = Math.max(this.#service[field], this.calibrations.curveNumber(name));
    const { at0Ohm, at25Ohm, at50Ohm } = curve ?? NO_RESISTANCES;
    const kept = { number: newest + 1, at0Ohm, at25Ohm, at50Ohm, unixMs };
    if (!this.calibrations.useCurve(name, kept)) return false;
    this.#service[field] = kept.number;
    this.#stale = true;
    return true;
  }

  /** Takes a decoded profile over; the caller has checked it, and `openTray` alone leaves the run as it is. */
  useProfile(profile: Profile | null, id: number, slot: number): void {
    this.#profile = profile;
    this.#program.profileId = id;
    this.#program.slot = slot;
  }

  /** Called whenever an alarm is raised, from now on. */
  whenRaised(listener: () => void): void {
    this.#onRaised = listener;
  }

  /** Appends to the journal; a failing flash is an alarm, never an exception. */
  write(body: JournalBody, uptimeMs = this.#uptimeMs): void {
    if (!this.journal.append(this.boot, uptimeMs, body)) this.#storageFailed = true;
  }

  /** The run state has changed: it is written down before the tick ends, or a reply leaves. */
  touch(): void {
    this.#stale = true;
  }

  /** The checkpoint no longer tells the truth. */
  get stale(): boolean {
    return this.#stale;
  }

  /** Writes the run state down. Returns whether the flash took it. */
  checkpoint(): boolean {
    this.#stale = false;
    const service = this.#service;
    service.unixMs = this.clock.checkpointUnixMs(this.#uptimeMs);
    this.alarms.codes(service.alarmStates);
    this.#packer.pack(this.run, this.#packed);
    // Before the codes that speak of it: a power cut in between leaves an alarm too many, which nobody asks for.
    const remembered = this.#rememberAlarms();
    this.#runKept = this.settings.set(SETTING.run, this.#packed);
    if (!this.#runKept || !remembered) this.#storageFailed = true;
    return this.#runKept;
  }

  /** Takes over what the flash has of the alarms before this start. */
  recallAlarms(): void {
    const { alarmStates } = this.run.service;
    const packed = this.settings.get(SETTING.alarms);
    const memories = packed === null ? [] : unpackAlarms(packed, this.runAtZeroMs);
    this.alarms.restore(alarmStates, memories, this.#uptimeMs);
    this.#remembered = packed;
  }

  /** Writes down what the next start must know of the alarms, if it is anything new. Returns whether the flash has it. */
  #rememberAlarms(): boolean {
    const memories = this.alarms.memories(this.clock.known);
    const packed = packAlarms(memories, this.runAtZeroMs);
    if (this.#remembered === null ? memories.length === 0 : isSameBytes(packed, this.#remembered)) {
      return true;
    }
    if (!this.settings.set(SETTING.alarms, packed)) return false;
    this.#remembered = packed;
    return true;
  }

  /** Run time at uptime 0, ms. */
  get runAtZeroMs(): number {
    return this.run.service.totalRunMs - this.#uptimeMs;
  }

  readonly #alarmChanged: AlarmListener = (record, change, forS) => {
    this.write({
      kind: 'alarm',
      alarm: record.name,
      change,
      stage: this.run.progress.stage,
      value: record.value,
      limit: record.limit,
      forS,
    });
    if (change === 'raised') this.#onRaised();
    this.#stale = true;
  };
}
