/** The guard part of a tick: every watch is shown the readings, and what it finds is told to the alarm bank. */
import { OUTPUT } from '../../shared/board/words';
import { MINUTE_MS } from '../../shared/units/time';
import { isPumping } from '../control/dose';
import { areNear, explainJump, haveMovedProbe, leaveAlone } from '../control/hands';
import { waitsForSomebody } from '../control/interlock';
import { BandWatch, type BeforeStart } from '../guard/band-watch';
import { DryingWatch } from '../guard/drying-watch';
import { condition, type Finding } from '../guard/finding';
import { InflowWatch } from '../guard/inflow-watch';
import { MatLineWatch } from '../guard/mat-line-watch';
import { MatRestWatch } from '../guard/mat-rest-watch';
import { MatWatch } from '../guard/mat-watch';
import { PresenceWatch } from '../guard/presence-watch';
import { ProbeWatch } from '../guard/probe-watch';
import { SupplyWatch } from '../guard/supply-watch';
import { type WaterFacts, WaterWatch } from '../guard/water-watch';
import { WeightWatch } from '../guard/weight-watch';
import type { Tray } from '../tray/tray';
import type { Heating } from './heating';
import type { Senses } from './senses';
import type { Watering } from './watering';
import type { Weights } from './weights';

/** What the guard looks at. */
export interface Guarded {
  readonly tray: Tray;
  readonly senses: Senses;
  readonly weights: Weights;
  readonly watering: Watering;
  readonly heating: Heating;
}

/** All watches of one tray. */
export class Guard {
  readonly #probes = new ProbeWatch();
  readonly #matLine = new MatLineWatch();
  readonly #mat = new MatWatch();
  readonly #matRest = new MatRestWatch();
  readonly #weight = new WeightWatch();
  readonly #inflow = new InflowWatch();
  readonly #supply = new SupplyWatch();
  readonly #water = new WaterWatch();
  readonly #band: BandWatch;
  readonly #presence = new PresenceWatch();
  readonly drying = new DryingWatch();
  #minuteMs = 0;
  /** What the pump had run in all at the last minute, ms: a run may be over between two of them. */
  #pumpRunMs = 0;
  /** Uptime when hands were last at the tray, ms. */
  #handsMs = Number.NEGATIVE_INFINITY;

  constructor(readonly guarded: Guarded) {
    this.#band = new BandWatch(guarded.tray.bandBefore);
  }

  /** Probes, supply, the mat's line, scale and inflow each tick, what is slower once a minute. */
  tick(): void {
    const { tray, senses, weights, watering, heating } = this.guarded;
    const { uptimeMs, alarms, profile } = tray;
    const sown = tray.stage !== null;
    this.#noticeHands();
    const near = this.#handsNear;
    this.#tell(this.#probes.tick(senses, sown, profile?.rootZoneMaxC ?? null, near));
    this.#tell(this.#supply.tick(senses));
    this.#tell(this.#matLine.tick(senses));
    this.#tell(this.#weight.tick(senses));
    this.#tellOfWeight(this.#inflow.tick(senses, isPumping(watering.dose), watering.mlPerS));
    alarms.expireShelving(uptimeMs);
    const sinceMs = uptimeMs - this.#minuteMs;
    if (sinceMs < MINUTE_MS) return;
    this.#minuteMs = uptimeMs;
    const cutOff = alarms.record('mat-open').present;
    this.#tell(this.#mat.minute(senses, heating, { handsNear: near, cutOff }));
    const maxC = profile?.rootZoneMaxC ?? null;
    this.#tell(this.#matRest.minute(senses, heating, maxC));
    heating.rest(this.#matRest.rests);
    this.#tell(this.#band.minute(senses, heating.band, maxC, sinceMs, this.#beforeStart));
    tray.noteBand(this.#band.soFar);
    this.#tell(this.#presence.minute(senses, sown, weights.mayStandG, sinceMs));
    this.#weighMinute();
    this.#tell(this.#water.minute(senses, this.#waterFacts(), sinceMs));
    tray.noteWaterHeld(this.#water.heldMs);
    this.#tell([condition('storage-failing', tray.storageFailed, 0, 0)]);
  }

  /** A hand was at the tray and says so: what moved until now was the hand, and so was a jump. */
  handsWereHere(): void {
    const { tray } = this.guarded;
    this.#handsMs = tray.uptimeMs;
    this.#restartProbes();
    this.weightRestarts();
    const jump = tray.alarms.record('probe-jumped');
    if (explainJump(jump, tray.uptimeMs)) tray.alarms.clear('probe-jumped');
  }

  get #handsNear(): boolean {
    return areNear(this.#handsMs, this.guarded.tray.uptimeMs);
  }

  /** The scale tells of hands; what they do to a probe is no movement of its own. */
  #noticeHands(): void {
    const { tray, senses } = this.guarded;
    if (senses.handled || senses.away) this.#handsMs = tray.uptimeMs;
    if (haveMovedProbe(senses, this.#handsNear)) this.#restartProbes();
  }

  #restartProbes(): void {
    const { senses } = this.guarded;
    senses.rootZone.restartJudging();
    senses.mat.restartJudging();
  }

  /** The weight starts a new life: nothing is judged by what it was. */
  weightRestarts(): void {
    this.#weight.forget();
    this.drying.interrupt();
    this.guarded.weights.disturbed();
  }

  /** Written out: a spread with more fields behind it costs as much as the rest of a minute. */
  get #beforeStart(): BeforeStart {
    const { alarms, unwatched, uptimeMs } = this.guarded.tray;
    const { forMs, beforeC, afterC } = unwatched;
    return {
      forMs,
      beforeC,
      afterC,
      tooWarm: alarms.stoodBefore('too-warm', uptimeMs),
      tooCold: alarms.stoodBefore('too-cold', uptimeMs),
    };
  }

  #weighMinute(): void {
    const { tray, senses, weights, watering } = this.guarded;
    const { trayG } = weights;
    const alone = leaveAlone(senses);
    const { pumpRunMs } = watering.charges.account;
    const hasRun = pumpRunMs !== this.#pumpRunMs;
    this.#pumpRunMs = pumpRunMs;
    const anew = weights.minute(senses.scale.grams, alone && !isPumping(watering.dose));
    const undisturbed = alone && watering.dose.phase === 'idle' && !hasRun;
    if (!undisturbed || anew) {
      this.weightRestarts();
      return;
    }
    weights.dried();
    this.#tellOfWeight(this.#weight.minute(trayG, weights.drying.fellG, weights.drained));
    const warmth = {
      rootZoneC: senses.rootZone.celsius,
      matOn: (senses.outputs & OUTPUT.matOn) !== 0,
    };
    if (weights.drained) this.#tell(this.drying.minute(trayG, tray.stage?.lid ?? null, warmth));
  }

  #tellOfWeight(findings: readonly Finding[]): void {
    if (findings.length === 0) return;
    this.#tell(findings);
    this.guarded.weights.disturbed();
  }

  #tell(findings: readonly Finding[]): void {
    this.guarded.tray.alarms.apply(findings, this.guarded.tray.uptimeMs);
  }

  #waterFacts(): WaterFacts {
    const { tray, watering, weights, senses } = this.guarded;
    return {
      profile: tray.profile,
      profileId: tray.run.program.profileId,
      stage: tray.stage,
      sown: tray.sown,
      given: watering.charges.account,
      mlCountsAs: watering.charges.mlCountsAs,
      leftMl: watering.feed.leftMl,
      cycling: watering.cycling,
      dosing: watering.dose.phase !== 'idle',
      capacityKnown: !Number.isNaN(weights.known.capacityG),
      heldFor: waitsForSomebody(watering.heldBy),
      heldBeforeMs: tray.alarms.stoodBefore('water-held', tray.uptimeMs)
        ? Number.POSITIVE_INFINITY
        : tray.run.service.waterHeldMs,
      stageRunMs: tray.run.progress.stageRunMs,
      opened: watering.charges.opened,
      otherFeed: watering.feed.isOther,
      feedEc: watering.feed.reservoir.feedEc,
      calibrations: {
        nowUnixMs: tray.clock.unixMs(tray.uptimeMs),
        pumpUnixMs: tray.pump?.unixMs ?? null,
        scaleUnixMs: senses.scale.calibration?.unixMs ?? null,
      },
      pump: { share: watering.proofs.pumpShare, scatter: watering.proofs.pumpScatter },
    };
  }
}
