/** The watering part of a tick: what is wanted, what holds it, what the caps leave, and the pump. */

import { OUTPUT } from '../../shared/board/words';
import type { HeldBy } from '../../shared/link/held';
import { trayAtDryBackG } from '../../shared/physics/dry-back';
import { gFromMl, mlFromG, USUAL_WATER_C } from '../../shared/physics/water';
import type { Stage } from '../../shared/profile/profile';
import { type DoseEnd, nextWater, WATER_IDLE, type WaterState } from '../control/dose';
import { inDayWindow } from '../control/heat';
import { isHandled } from '../control/weight';
import { WATER_LIMITS, WEIGHT_LIMITS } from '../limits';
import type { Tray } from '../tray/tray';
import { charge } from '../tray/water-account';

const G_PER_ML = gFromMl(1, USUAL_WATER_C);

/** Watering of one tray, with what it remembers between ticks. */
export class Watering {
  /** For how long the tray has needed water, ms. */
  #needMs = 0;

  constructor(readonly tray: Tray) {}

  /** One tick, `dtMs` after the last: decides, and gives the pump its lease. */
  tick(dtMs: number): void {
    const { tray } = this;
    const { stage, water } = tray;
    tray.waterHeldBy = this.#heldBy(stage);
    const need = this.#need(stage, dtMs);
    if (need === null && water.phase === 'idle') return;
    const mlPerS = tray.pump?.mlPerS ?? 0;
    const step = nextWater(water, {
      uptimeMs: tray.uptimeMs,
      dtMs,
      need,
      allowedMl: this.#allowedMl(stage, need),
      held: this.#stops(need),
      handled: isHandled(tray.weight),
      grams: tray.trayG,
      settled: tray.scale.isSettled(tray.uptimeMs),
      noiseG: tray.scale.noiseG,
      mlPerS,
      gPerMl: G_PER_ML,
      dryingGPerMs: tray.dryingGPerMs,
      soakInMs: (stage?.watering?.soakInS ?? WATER_LIMITS.rescueSoakInS) * 1000,
    });
    tray.water = step.state;
    if (step.beginsMl > 0 && !this.#chargeFirst(step.beginsMl, step.state.reason)) {
      tray.water = { ...WATER_IDLE, sinceMs: tray.uptimeMs };
      return;
    }
    tray.board.leasePump(step.leaseMs);
    if (step.ended !== null) this.#end(step.ended, false);
  }

  /**
   * Written down before the pump starts: a power cut can only make the account too careful. What
   * cannot be written down is not given, or each cut would open the caps again.
   */
  #chargeFirst(ml: number, reason: WaterState['reason']): boolean {
    const { tray } = this;
    const { rescued } = tray.run;
    charge(tray.run, ml);
    tray.run.pendingMl = ml;
    if (reason === 'rescue') tray.run.rescued = true;
    tray.checkpoint();
    if (tray.runKept) return true;
    charge(tray.run, -ml);
    tray.run.pendingMl = 0;
    tray.run.rescued = rescued;
    return false;
  }

  /** Ends a run or a dose now; what was pumped of it counts. */
  stop(): { ranMs: number } {
    const { tray } = this;
    const { water } = tray;
    const running = water.phase === 'dosing' || water.phase === 'service';
    tray.board.leasePump(0);
    if (running) {
      const { reason, plannedMl, beforeG } = water;
      const ranMs = water.deliveredMs + water.leasedMs;
      tray.water = { ...WATER_IDLE, sinceMs: tray.uptimeMs };
      const gainedG = Number.NaN;
      this.#end({ reason, verdict: 'stopped', plannedMl, ranMs, beforeG, gainedG }, true);
    }
    return { ranMs: tray.lastRunMs };
  }

  /** Alarms of the water stop a dose; a run by hand is stopped only by what makes any run unsafe. */
  #stops(need: 'dry-back' | 'rescue' | null): boolean {
    const { alarms, stage, water } = this.tray;
    // A stage may end in the middle of a dose, and the next one be a hold.
    const reason = water.phase === 'idle' ? need : water.reason;
    const ownsDose = reason === 'rescue' || stage?.kind === 'weigh';
    if (water.phase !== 'service') return this.tray.waterHeldBy !== null || !ownsDose;
    const held = alarms.pumpHeldBy;
    return held === 'restarting-often' || held === 'pump-stuck-on' || this.#hourSpent;
  }

  /** The runtime has switched the pump off: it has run as long as it may in this hour. */
  get #hourSpent(): boolean {
    return (this.tray.outputs & OUTPUT.pumpHourSpent) !== 0;
  }

  #heldBy(stage: Stage | null): HeldBy | null {
    const { alarms, run, scale, pump, weight, board } = this.tray;
    if (alarms.pumpHeldBy !== null) return alarms.pumpHeldBy;
    if (stage === null) return 'not-sown';
    if (this.#hourSpent) return 'pump-hour';
    if (!this.tray.runKept) return 'storage';
    if (scale.state !== 'ok') return 'scale';
    if (pump === null) return 'pump-not-calibrated';
    if (Number.isNaN(run.capacityG) || Number.isNaN(run.dryG)) return 'capacity-unknown';
    if (run.transplantHoldMs > 0) return 'transplant-hold';
    if (isHandled(weight)) return 'handling';
    if (-weight.shiftG > WEIGHT_LIMITS.absentShare * run.dryG) return 'tray-off';
    if (scale.grams < run.dryG * (1 - WEIGHT_LIMITS.absentShare)) return 'tray-off';
    return this.tray.water.phase === 'idle' && this.#quiet(board.clockMs()) ? 'quiet-hours' : null;
  }

  #quiet(uptimeMs: number): boolean {
    const { profile } = this.tray;
    const minute = this.tray.minuteOfDay(uptimeMs);
    const quiet = profile?.quiet ?? null;
    return quiet !== null && minute !== null && inDayWindow(quiet.startMin, quiet.endMin, minute);
  }

  /** Dry-back with hysteresis: a cycle begins at the start share and goes on to the stop share. */
  #need(stage: Stage | null, dtMs: number): 'dry-back' | 'rescue' | null {
    const { tray } = this;
    const { dryBackShare, run } = tray;
    if (stage === null || Number.isNaN(dryBackShare)) {
      tray.cycling = false;
      this.#needMs = 0;
      return null;
    }
    const { watering } = stage;
    if (watering === null) return this.#needsRescue(stage) ? 'rescue' : null;
    const { startShare, stopShare, doseMl } = watering;
    const missingG = Math.max(0, trayAtDryBackG(stopShare, run) - tray.trayG);
    // Of a smaller rest the scale could not say whether it has arrived.
    if (mlFromG(missingG, USUAL_WATER_C) < doseMl * WATER_LIMITS.lastDoseMinShare) {
      tray.cycling = false;
    }
    if (dryBackShare < startShare) this.#needMs = 0;
    else if (tray.scale.stable) this.#needMs += dtMs;
    if (this.#needMs >= WATER_LIMITS.needMs) tray.cycling = true;
    return tray.cycling ? 'dry-back' : null;
  }

  /** One dose in a hold, and not without the alarm that calls the grower. */
  #needsRescue({ rescue }: Stage): boolean {
    const { alarms, dryBackShare, run } = this.tray;
    this.#needMs = 0;
    const allowed = rescue.doseMl > 0 && !run.rescued;
    return allowed && alarms.record('too-dry').present && dryBackShare >= rescue.share;
  }

  /** The next dose, ml: no more than the stage's dose, what is missing to the stop share, or a cap. */
  #allowedMl(stage: Stage | null, need: 'dry-back' | 'rescue' | null): number {
    if (stage === null || need === null) return 0;
    const { run, trayG } = this.tray;
    if (need === 'rescue') return stage.rescue.doseMl;
    const { watering } = stage;
    if (watering === null) return 0;
    const missingG = trayAtDryBackG(watering.stopShare, run) - trayG;
    const wantedMl = Math.min(watering.doseMl, mlFromG(Math.max(0, missingG), USUAL_WATER_C));
    const full =
      run.dayMl + wantedMl > watering.maxDayMl || run.stageMl + wantedMl > watering.maxStageMl;
    return full ? 0 : wantedMl;
  }

  #end(dose: DoseEnd, byHand: boolean): void {
    const { tray } = this;
    const { run, uptimeMs, alarms } = tray;
    run.pendingMl = 0;
    run.pumpRunMs += dose.ranMs;
    tray.lastRunMs = dose.ranMs;
    this.#refundUnpumped(dose);
    tray.write({ kind: 'dose', stage: run.stage, ...dose });
    tray.stale = true;
    if (dose.reason === 'prime' || dose.reason === 'calibrate') return;
    const { verdict, plannedMl, gainedG } = dose;
    const expectedG = plannedMl * G_PER_ML;
    if (verdict === 'too-large') alarms.strike('dose-too-large', uptimeMs, gainedG, expectedG);
    else if (verdict === 'not-seen') alarms.strike('dose-not-seen', uptimeMs, gainedG, expectedG);
    else if (verdict !== 'seen') {
      // The grower's own stop tells nothing either way. Any other would be repeated, unproved, for ever:
      // a dose that never fits into the pump's hour, a scale that fails whenever the pump runs.
      if (!byHand) tray.countUnproved(plannedMl);
      return;
    }
    run.unproved = 0;
  }

  /** A dose stopped early gives back what the pump did not run. */
  #refundUnpumped(dose: DoseEnd): void {
    const mlPerS = this.tray.pump?.mlPerS ?? 0;
    const unpumpedMl = dose.plannedMl - (dose.ranMs / 1000) * mlPerS;
    if (dose.verdict === 'stopped' && unpumpedMl > 0) charge(this.tray.run, -unpumpedMl);
  }
}
