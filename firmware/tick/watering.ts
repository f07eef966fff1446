/**
 * The watering part of a tick: asks `control/` what is wanted, what holds it, what the caps leave, and
 * does it: charge, lease, proof.
 */
import { OUTPUT } from '../../shared/board/words';
import type { HeldBy } from '../../shared/link/held';
import { assert } from '../assert';
import { allowedMl, type StageWater } from '../control/caps';
import { isItTimeOf } from '../control/day-window';
import {
  type DoseEnd,
  type DoseState,
  isGiving,
  isPumping,
  NO_DOSE,
  nextDose,
  ranLately,
  serviceRun,
  stopped,
} from '../control/dose';
import { isLeftToDrain } from '../control/drainage';
import { isTooLittleForDose } from '../control/feed';
import { leaveItRunning, mayComeAgain } from '../control/hands';
import { doseHeldBy, isRunHeld, waterHeldBy } from '../control/interlock';
import { isNeed, type Need, type NeedState, NO_NEED, nextNeed } from '../control/need';
import { afterRun, NOT_RUN } from '../control/pump-hour';
import { WATER_LIMITS } from '../limits';
import type { ScaleSense } from '../sensing/scale';
import type { Tray } from '../tray/tray';
import type { DoseCharges } from './dose-charges';
import { type DoseProofs, G_PER_ML } from './dose-proofs';
import type { FeedStore } from './feed-store';
import type { Weights } from './weights';

/** What watering reads at a tick. */
export interface WateringSenses {
  readonly scale: ScaleSense;
  readonly weights: Weights;
  readonly outputs: number;
}

/** Watering of one tray. */
export class Watering {
  #dose: DoseState = NO_DOSE;
  #need: NeedState = NO_NEED;
  #heldBy: HeldBy | null = null;
  /** Pump time of the last run, ms. */
  #lastRunMs = 0;
  /** A hand spoiled the last dose; a run of the pump by hand is none. */
  #spoiled = false;
  /** When a hand was last on the tray, ms of uptime. One may have watered it just before this start: nobody remembers. */
  #handMs = 0;
  /** When a dose last ran out of a tray that is full, or may be, ms of uptime. */
  #ranOutMs: number;
  #pumpHour = NOT_RUN;

  constructor(
    readonly tray: Tray,
    readonly charges: DoseCharges,
    private readonly doseProofs: DoseProofs,
    readonly feed: FeedStore,
  ) {
    // One that is a doubt still may have run off just before this start: nobody remembers.
    this.#ranOutMs = doseProofs.proofs.ranOff > 0 ? 0 : Number.NEGATIVE_INFINITY;
  }

  get proofs(): DoseProofs['proofs'] {
    return this.doseProofs.proofs;
  }

  get dose(): DoseState {
    return this.#dose;
  }

  /** A watering cycle is under way: from the start share down to the stop share. */
  get cycling(): boolean {
    return this.#need.phase === 'cycling';
  }

  /** Why water is held off; null when it is free. */
  get heldBy(): HeldBy | null {
    return this.#heldBy;
  }

  /** What the pump gives by its calibration and its proved doses, ml/s; 0 while it is not calibrated. */
  get mlPerS(): number {
    return (this.tray.pump?.mlPerS ?? 0) * this.proofs.pumpShare;
  }

  /** Pump time of the running or else the last run, ms. */
  get ranMs(): number {
    return isPumping(this.#dose) ? this.#dose.deliveredMs : this.#lastRunMs;
  }

  /** What the pump may be adding to the weight right now, g. */
  get expectedRiseG(): number {
    return isGiving(this.#dose) ? this.#dose.plannedMl * WATER_LIMITS.riseMaxGPerMl : 0;
  }

  /** One tick, `dtMs` after the last: decides, and gives the pump its lease. */
  tick(senses: WateringSenses, dtMs: number): void {
    const { tray, charges } = this;
    const { stage, uptimeMs } = tray;
    const { scale, weights } = senses;
    if (weights.handled || weights.away) this.#handMs = uptimeMs;
    this.doseProofs.noteThings(weights.foreignG);
    this.#pumpHour = afterRun(this.#pumpHour, uptimeMs, ranLately(this.#dose, dtMs));
    this.#heldBy = this.#holds(senses);
    const need = this.#wants(senses, dtMs);
    if (need === null && this.#dose.phase === 'idle') return;
    const allowed = allowedMl(
      {
        need,
        stage,
        opened: charges.opened,
        mlCountsAs: charges.mlCountsAs,
        spreadMl: tray.spreadMl,
        trayG: weights.trayG,
        capacityG: weights.known.capacityG,
        dryG: weights.known.dryG,
      },
      charges.account,
    );
    this.#heldBy = doseHeldBy(this.#heldBy, {
      dose: this.#dose,
      ml: allowed,
      mlPerS: this.mlPerS,
      pumpHour: this.#pumpHour,
    });
    const step = nextDose(this.#dose, {
      uptimeMs,
      dtMs,
      need,
      allowedMl: allowed,
      held: this.#isRunHeld(need, senses.outputs),
      handled: weights.handled,
      grams: weights.trayG,
      settled: scale.isSettled(uptimeMs),
      noiseG: scale.noiseG,
      fullG: weights.fullG,
      thingsG: weights.foreignG,
      mlPerS: this.mlPerS,
      gPerMl: G_PER_ML,
      dryingGPerMs: weights.drying.gPerMs,
      soakInMs: (stage?.watering?.soakInS ?? WATER_LIMITS.rescueSoakInS) * 1000,
    });
    if (step.state.phase === 'soaking-in' && this.#dose.phase === 'dosing') weights.watered();
    this.#dose = step.state;
    const begins = step.beginsMl > 0 && need !== null;
    if (begins && !charges.before(need, step.beginsMl)) {
      this.#dose = NO_DOSE;
      return;
    }
    assert(step.leaseMs === 0 || charges.isCharged(step.state), 'charged-before-lease');
    tray.board.leasePump(step.leaseMs);
    if (step.ended !== null) this.#end(step.ended, false, senses);
  }

  /** Runs the pump for `ms` by the grower's hand, from the next tick on. */
  service(reason: 'prime' | 'calibrate', ms: number): void {
    const run = serviceRun(reason, ms, this.mlPerS);
    this.charges.beforeRunByHand(run.plannedMl);
    this.#dose = run;
  }

  /** The grower's stop: ends a run or a dose now. Returns the pump time of the last run, ms. */
  stop(): number {
    const { tray } = this;
    const ended = stopped(this.#dose);
    const leasedMs = ranLately(this.#dose, Number.POSITIVE_INFINITY);
    this.#pumpHour = afterRun(this.#pumpHour, tray.uptimeMs, leasedMs);
    tray.board.leasePump(0);
    if (ended !== null) {
      this.#dose = NO_DOSE;
      this.#end(ended, true, null);
    }
    return this.#lastRunMs;
  }

  /** The pump was calibrated: its run time counts anew. */
  pumpCalibrated(): void {
    this.charges.pumpCalibrated();
    this.doseProofs.pumpCalibrated();
  }

  /** The reservoir was filled; see `FeedStore.filled`. One that had run dry explains a dose that did not come. */
  refilled(ml: number, ec: number): void {
    const { alarms, stage } = this.tray;
    if (isTooLittleForDose(this.feed.leftMl, stage)) alarms.clear('dose-not-seen');
    this.charges.refilled();
    this.feed.filled(ml, ec);
  }

  /** Another stage: its own water, and a need of its own. */
  stageBegins(): void {
    this.charges.stageBegins();
    this.#need = NO_NEED;
  }

  /** What `stageBegins` changes, to go back to with `restore`. */
  saved(): StageWater {
    return this.charges.saved();
  }

  restore(water: StageWater): void {
    this.charges.restore(water);
  }

  #wants({ scale, weights }: WateringSenses, dtMs: number): Need | null {
    const { tray } = this;
    const step = nextNeed(this.#need, {
      dtMs,
      stage: tray.stage,
      stageRunMs: tray.run.progress.stageRunMs,
      opened: this.charges.opened,
      trayG: weights.trayG,
      dryBackShare: weights.dryBackShare,
      stable: scale.stable && !weights.handled && !weights.away,
      capacityG: weights.known.capacityG,
      dryG: weights.known.dryG,
      tooDry: tray.alarms.record('too-dry').present,
      rescued: this.charges.rescued,
      spreadMl: tray.spreadMl,
    });
    this.#need = step.state;
    return isLeftToDrain(this.#ranOutMs, tray.uptimeMs) ? null : step.need;
  }

  #isRunHeld(need: Need | null, outputs: number): boolean {
    return isRunHeld({
      dose: this.#dose,
      need,
      heldBy: this.#heldBy,
      stage: this.tray.stage,
      alarm: this.tray.alarms.pumpHeldBy,
      hourSpent: isHourSpent(outputs),
    });
  }

  #holds({ scale, weights, outputs }: WateringSenses): HeldBy | null {
    const { tray } = this;
    const { known } = weights;
    const hasSpoiled = this.#spoiled || this.proofs.unproved > 0;
    const handAgain = mayComeAgain(hasSpoiled, this.#handMs, tray.uptimeMs);
    const begins = this.#dose.phase === 'idle';
    const running =
      begins &&
      !weights.away &&
      leaveItRunning(weights.gainedJustNowG, this.#handMs, tray.uptimeMs);
    const quiet = tray.profile?.quiet ?? null;
    return waterHeldBy({
      alarm: tray.alarms.pumpHeldBy,
      sown: tray.stage !== null,
      hourSpent: isHourSpent(outputs),
      chargeKept: tray.runKept,
      scale: scale.state,
      pumpCalibrated: tray.pump !== null,
      capacityG: known.capacityG,
      dryG: known.dryG,
      inTransplantHold: tray.run.progress.transplantHoldMs > 0,
      handled: weights.handled || handAgain || running,
      away: weights.away,
      otherFeed: (this.feed.waitMs ?? 0) > 0,
      quiet: begins && isItTimeOf(quiet, tray.minuteOfDay),
    });
  }

  #end(dose: DoseEnd, byHand: boolean, senses: WateringSenses | null): void {
    const { tray, doseProofs } = this;
    this.#lastRunMs = dose.ranMs;
    if (isNeed(dose.reason)) this.#spoiled = dose.verdict === 'handled';
    this.charges.after(dose, this.mlPerS, byHand);
    tray.write({ kind: 'dose', stage: tray.run.progress.stage, ...dose });
    tray.touch();
    // What did not arrive counts in the caps, for the pump may have run, and is no food.
    if (isNeed(dose.reason) && dose.verdict !== 'not-seen') {
      this.feed.gave((dose.ranMs / 1000) * this.mlPerS);
    }
    if (dose.drained) this.#ranOutMs = tray.uptimeMs;
    else if (dose.verdict === 'seen' && senses !== null) {
      doseProofs.learnPump(dose, senses.scale, senses.weights);
    }
    doseProofs.ended(dose, byHand);
  }
}

function isHourSpent(outputs: number): boolean {
  return (outputs & OUTPUT.pumpHourSpent) !== 0;
}
