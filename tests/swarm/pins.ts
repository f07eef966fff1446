/** Safety, measured where mat and pump are wired: what is switched on each step, beside the plant as it really is. */
import type { FaultName } from '../../firmware/bench/faults';
import type { RiggedBench } from '../../firmware/bench/rigged-bench';
import type { Profile } from '../../shared/profile/profile';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { PROMISES } from './promises';

/** Meanwhile nobody can know that the tray is away. */
const BLIND_SCALE: readonly FaultName[] = ['scale-unplugged', 'scale-saturated', 'scale-noisy'];

/** Meanwhile no mat probe says how cold the mat is. */
const BLIND_MAT: readonly FaultName[] = ['mat-probe-open', 'mat-probe-stuck'];

const BLIND_PROBE: readonly FaultName[] = ['probe-open', 'probe-short', 'probe-stuck'];

/** Says that a promise was broken. */
export type Accuse = (promise: string, says: string) => void;

interface Pumped {
  readonly runMs: number;
  readonly ml: number;
}

export class Pins {
  /** Bench times, ms. */
  matOnAtMs = Number.NEGATIVE_INFINITY;
  pumpedAtMs = Number.NEGATIVE_INFINITY;
  /** By the pump's own flow, in the running entry into a stage, hand runs among them, ml. */
  stageMl = 0;
  /** Last time that something happened to tray or board. */
  happenedMs = 0;
  #matSinceMs = Number.NEGATIVE_INFINITY;
  #matOn = false;
  #hotMs = 0;
  #awayMs = 0;
  #pumpAwayMs = 0;
  #matAwayMs = 0;
  /** No scale could say so as the tray went. */
  #wentUnseen = false;
  /** When a cloth drew from it last where it stood on the scale; and whether that was as the tray went, or shortly before. */
  #drewAtMs = Number.NEGATIVE_INFINITY;
  #drewAsItWent = false;
  /** The board hung while no scale could say, and so as the tray went or after it: it counts no time then. */
  #hungBlind = false;
  #wentHung = false;
  /** The board had no power as the tray went. */
  #wentUnpowered = false;
  /** What stood there as the power came back may be the tray, dried meanwhile, for all a board can tell. */
  #mayHaveDried = false;
  /** What the tray weighed as it went, and what stood beside it, g. */
  #wentG = 0;
  #besideG = 0;
  /** For how long no scale can say what stands there; and for how long at most none could since before the tray went, ms. */
  #blindMs = 0;
  #unseenMs = 0;
  #runMs = 0;
  #byHandUntilMs = Number.NEGATIVE_INFINITY;
  #dosedMl = 0;
  #dayMl = 0;
  readonly #day: Pumped[] = [];
  #oldest = 0;
  #pumpOn = false;
  #stage: number | null = null;

  constructor(
    readonly bench: Pick<RiggedBench, 'nowMs' | 'rig'>,
    readonly profile: Profile,
    readonly accuse: Accuse,
    /** Index of the stage that the display shows; asked when a dose begins. */
    readonly stageShown: () => number | null,
    /** What the grower marked as the soaked tray was the tray, and nothing else. */
    readonly standsAsMarked: () => boolean,
  ) {
    const { rig } = bench;
    const later = rig.later.bind(rig);
    // What hands left to come about by itself: a probe that is put back in is a happening too.
    rig.later = (name, inMs, act) =>
      later(name, inMs, () => {
        this.happenedMs = bench.nowMs;
        act();
      });
    const step = rig.step.bind(rig);
    rig.step = (stepMs, matMs, pumpMs, fedMs) => {
      this.#mat(stepMs, matMs);
      this.#away(stepMs, matMs, pumpMs);
      this.#pump(stepMs, pumpMs);
      step(stepMs, matMs, pumpMs, fedMs);
    };
  }

  /** What the pump has given in any day of run time up to now, ml. */
  get dayMl(): number {
    return this.#dayMl;
  }

  /** The grower runs the pump: it counts in the caps, and no cap holds it off. */
  runByHand(forMs: number): void {
    this.#byHandUntilMs = this.bench.nowMs + forMs + 2_000;
  }

  stageBegins(): void {
    this.stageMl = 0;
    this.#dosedMl = 0;
  }

  #mat(stepMs: number, matMs: number): void {
    const { nowMs, rig } = this.bench;
    const on = matMs > 0;
    if (on) this.matOnAtMs = nowMs;
    if (on !== this.#matOn) this.#switched(on, nowMs);
    const rootC = rig.plant.thermal.rootZoneC;
    if (rootC <= this.profile.rootZoneMaxC) this.#hotMs = 0;
    else if (on) {
      this.#hotMs += Math.min(stepMs, matMs);
      const blind = this.probeIsOut || rig.faults.has('probe-stuck');
      const mostMs = blind ? PROMISES.heatAboveMaxBlindMs : PROMISES.heatAboveMaxMs;
      if (this.#hotMs > mostMs) this.accuse('heat-above-max', `root zone ${rootC.toFixed(1)} C`);
    }
  }

  /** The root-zone probe hangs in the room, or is in a hand. */
  get probeIsOut(): boolean {
    const { faults, plant } = this.bench.rig;
    return faults.wrong.probeOut || plant.probeInHand;
  }

  /** The root-zone probe cannot say how warm that is. */
  get probeIsBlind(): boolean {
    return this.probeIsOut || BLIND_PROBE.some((fault) => this.bench.rig.faults.has(fault));
  }

  #switched(on: boolean, nowMs: number): void {
    const forMs = nowMs - this.#matSinceMs;
    const { touchedUntilMs, faults } = this.bench.rig;
    const handsMs = Math.max(this.happenedMs, touchedUntilMs);
    // A welded switch is seen as soon as the mat is asked for, however long ago it welded.
    const welded = faults.has('mat-switch-welded') || faults.has('mat-stuck-on');
    const undisturbed = !welded && nowMs - handsMs > PROMISES.matCutShortMs;
    if (forMs < PROMISES.matLeastMs && (on || undisturbed)) {
      this.accuse('mat-switched-too-soon', `${on ? 'off' : 'on'} for ${forMs} ms`);
    }
    this.#matOn = on;
    this.#matSinceMs = nowMs;
  }

  #pump(stepMs: number, pumpMs: number): void {
    const { plant, faults } = this.bench.rig;
    if (!faults.has('mains-cut')) this.#runMs += stepMs;
    if (pumpMs <= 0) {
      this.#pumpOn = false;
      return;
    }
    if (!this.#pumpOn) this.#stage = this.stageShown();
    this.#pumpOn = true;
    this.pumpedAtMs = this.bench.nowMs;
    const ml = (pumpMs / 1000) * plant.parameters.pump.mlPerS;
    this.stageMl += ml;
    this.#dayMl += ml;
    this.#day.push({ runMs: this.#runMs, ml });
    for (let first = this.#day[this.#oldest]; first && first.runMs < this.#runMs - DAY_MS; ) {
      this.#dayMl -= first.ml;
      this.#oldest += 1;
      first = this.#day[this.#oldest];
    }
    if (this.bench.nowMs > this.#byHandUntilMs) this.#judgeDose(ml);
  }

  #away(stepMs: number, matMs: number, pumpMs: number): void {
    const { plant, faults } = this.bench.rig;
    const blind = BLIND_SCALE.some((fault) => faults.has(fault));
    this.#blindMs = blind ? this.#blindMs + stepMs : 0;
    this.#hungBlind = blind && (this.#hungBlind || faults.has('board-hung'));
    if (plant.trayOnScale && !faults.wrong.trayLifted) {
      this.#awayMs = 0;
      this.#pumpAwayMs = 0;
      this.#matAwayMs = 0;
      // As it stood there last: in a tub it takes up water at once.
      this.#wentG = plant.trayMassG;
      if (faults.wrong.wickGPerS > 0) this.#drewAtMs = this.bench.nowMs;
      return;
    }
    if (this.#awayMs === 0) {
      this.#wentUnseen = blind;
      this.#wentUnpowered = faults.has('mains-cut');
      this.#wentHung = false;
      this.#mayHaveDried = false;
      this.#unseenMs = 0;
      this.#besideG = plant.weightG;
      this.#drewAsItWent = this.bench.nowMs - this.#drewAtMs <= PROMISES.trayDrewMs;
    }
    this.#awayMs += stepMs;
    if (this.#wentUnseen) {
      this.#unseenMs = Math.max(this.#unseenMs, this.#blindMs);
      this.#wentHung ||= this.#hungBlind;
    }
    const loadG = plant.onScaleG(faults.wrong.trayLifted);
    this.#judgeDried(loadG);
    const hasDriedAnyhow = this.#mayHaveDried || (this.#wentHung && this.#isBetween(loadG, 0));
    const isTrayLike = this.#mayBeTray(loadG) || hasDriedAnyhow;
    if (blind || isTrayLike || !this.standsAsMarked()) this.#matAwayMs = 0;
    else this.#matAwayMs += matMs;
    const maySeem = isTrayLike || this.#mayBeAsMarked(loadG);
    if (this.bench.nowMs > this.#byHandUntilMs && !maySeem) this.#pumpAwayMs += pumpMs;
    const says = `tray away for ${this.#awayMs / 1000} s`;
    if (this.#pumpAwayMs > PROMISES.pumpWithoutTrayMs) this.accuse('pump-without-tray', says);
    const { heatWithoutTrayMs, heatWithoutTrayUnseenMs } = PROMISES;
    const mostMatMs = this.#wentUnseen ? heatWithoutTrayUnseenMs : heatWithoutTrayMs;
    if (this.#matAwayMs > mostMatMs) this.accuse('heat-without-tray', says);
  }

  /** What stands there, `loadG`, may be the tray, for all a scale can say: dried or drained beside it, or soaked. */
  #mayBeTray(loadG: number): boolean {
    const { wool, parameters, leftInTrayG, grownG } = this.bench.rig.plant;
    const shareOfWater =
      PROMISES.trayLostShare + PROMISES.trayLostSharePerH * (this.#awayMs / HOUR_MS);
    const lostG = Math.min(shareOfWater, PROMISES.trayLostMostShare) * wool.capacityG;
    const unseenG = PROMISES.trayDrawnGPerH * (this.#unseenMs / HOUR_MS);
    const drawnMs = this.#drewAsItWent ? this.#awayMs : 0;
    const drawnG = PROMISES.trayDrawnGPerH * (drawnMs / HOUR_MS);
    const slackG = PROMISES.weighedShare * wool.capacityG;
    const dryG = parameters.trayG + wool.dryG;
    // What it held above its capacity runs off beside the scale.
    const heldG = Math.min(this.#wentG - leftInTrayG, dryG + grownG + wool.capacityG);
    const leastG = heldG - Math.max(lostG + drawnG, unseenG) - slackG;
    const fullG = dryG + grownG + leftInTrayG + this.#besideG;
    const mostG = fullG + (1 + PROMISES.overfullShare) * wool.capacityG + slackG;
    return loadG >= Math.max(leastG, dryG) && loadG <= mostG;
  }

  /**
   * What was marked was the tray and a thing: what stands there, `loadG`, may be that, dried while the board had no power for
   * nobody knows how long.
   */
  #mayBeAsMarked(loadG: number): boolean {
    const isUnmarked = this.#wentUnpowered && !this.standsAsMarked();
    return isUnmarked && this.#isBetween(loadG, this.#besideG);
  }

  /** No lighter than the dry tray, and no heavier than the tray went with `besideG` beside it. */
  #isBetween(loadG: number, besideG: number): boolean {
    const { wool, parameters } = this.bench.rig.plant;
    return loadG >= parameters.trayG + wool.dryG && loadG <= this.#wentG + besideG;
  }

  /**
   * Nobody knows for how long the board had no power as the tray went: what stood there as it came back, `loadG`, may be that,
   * dried. But a tray that is still warmer than the mat does not stand on it.
   */
  #judgeDried(loadG: number): void {
    const { plant, faults } = this.bench.rig;
    if (!this.#isBetween(loadG, 0)) this.#mayHaveDried = false;
    else if (this.#wentUnpowered && faults.has('mains-cut')) {
      const { rootZoneC, matC } = plant.thermal;
      const isBlind = this.probeIsBlind || BLIND_MAT.some((fault) => faults.has(fault));
      this.#mayHaveDried = isBlind || rootZoneC - matC <= PROMISES.besideMatK;
    }
  }

  #judgeDose(ml: number): void {
    this.#dosedMl += ml;
    const index = this.#stage;
    const stage = index === null ? undefined : this.profile.stages[index];
    if (stage === undefined) {
      this.accuse('pump-without-stage', 'nothing is sown');
      return;
    }
    const { watering, rescue } = stage;
    const within = (given: number, most: number): boolean =>
      given <= most * (1 + PROMISES.capSlackShare) + PROMISES.capSlackMl;
    if (watering === null) {
      if (!within(this.#dosedMl, rescue.doseMl)) {
        this.accuse('water-in-hold', `${this.#dosedMl.toFixed(0)} ml in ${stage.name}`);
      }
      return;
    }
    if (!within(this.stageMl, watering.maxStageMl)) {
      this.accuse('stage-cap', `${this.stageMl.toFixed(0)} ml of ${watering.maxStageMl}`);
    }
    if (!within(this.#dayMl, watering.maxDayMl)) {
      this.accuse('day-cap', `${this.#dayMl.toFixed(0)} ml of ${watering.maxDayMl}`);
    }
  }
}
