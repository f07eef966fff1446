/** Clock, marks, stages and alarms: what the grower tells the controller. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { AlarmReport, Params, Result } from '../../shared/link/methods';
import { capacityWaterMl } from '../../shared/physics/dry-back';
import { gFromMl } from '../../shared/physics/water';
import { changeByGrower } from '../control/stages';
import { isHandled, NO_WEIGHT } from '../control/weight';
import { GUARD_LIMITS, RECORD_LIMITS } from '../limits';
import { Refusal } from '../link/server';
import { enterStage, markStage, passStageTime, reportedStage, stageState } from '../stages';
import type { Ticker } from '../tick';
import type { Tray } from '../tray';
import { MARK_LIMITS } from './limits';
import { alarmReport, orNull } from './status';

/**
 * Sets the time of day. The first time in a boot, the time the board was off is added to the stage,
 * if the clock was known before: plants do not stop. A laptop with a wrong date can add at most a
 * week, and never touches the caps on water, which know only uptime.
 */
export function clockSet(tray: Tray, { unixMs }: Params<'clock.set'>): Result<'clock.set'> {
  const uptimeMs = tray.board.uptimeMs();
  const first = Number.isNaN(tray.unixAtBootMs);
  const movedMs = Math.abs(unixMs - tray.unixMs(uptimeMs));
  if (!first && movedMs < RECORD_LIMITS.clockDriftMs) return { outageS: 0 };
  const bootUnixMs = unixMs - uptimeMs;
  tray.unixAtBootMs = bootUnixMs;
  const offMs = first && tray.offSinceUnixMs > 0 ? bootUnixMs - tray.offSinceUnixMs : 0;
  const outageMs = Math.min(Math.max(0, offMs), RECORD_LIMITS.outageMaxMs);
  tray.offSinceUnixMs = 0;
  const outageS = Math.round(outageMs / 1000);
  tray.write({ kind: 'clock', unixMs, outageS }, uptimeMs);
  if (outageMs > 0) passStageTime(tray, outageMs, 'outage');
  tray.stale = true;
  return { outageS };
}

export function markSet(
  tray: Tray,
  ticker: Ticker,
  { mark, trayG }: Params<'mark.set'>,
): Result<'mark.set'> {
  let note: string | null = null;
  const stateless = mark === 'dry' || mark === 'soaked' || mark === 'refilled';
  if (!stateless && tray.profile === null) {
    throw new Refusal('no-profile', 'There is no profile on the board. Load one, then mark again.');
  }
  if (mark !== 'sown' && !stateless && !tray.sown) {
    throw new Refusal('not-sown', `The tray is not marked sown yet, so it cannot be ${mark}.`);
  }
  if (mark === 'dry') note = markDry(tray, weightFor(tray, trayG));
  if (mark === 'soaked') note = markSoaked(tray, weightFor(tray, trayG));
  if (mark === 'refilled') tray.run.usedMl = 0;
  tray.write({
    kind: 'mark',
    mark,
    stage: tray.run.stage,
    trayG: tray.scale.grams,
    rootZoneC: tray.rootZone.celsius,
  });
  markStage(tray, mark);
  if (mark === 'transplanted') note = forgetWeights(tray);
  // A hand was at the tray: what moved until now was the hand.
  tray.rootZone.restartJudging();
  tray.mat.restartJudging();
  ticker.weightWatch.forget();
  tray.stale = true;
  return { trayG: orNull(trayG ?? tray.scale.grams), stage: reportedStage(tray.run.stage), note };
}

/** The weight a mark stands for: given by the grower, or read from a scale that can be trusted now. */
function weightFor(tray: Tray, givenG: number | undefined): number {
  if (givenG !== undefined) {
    if (givenG < MARK_LIMITS.trayMinG || givenG > MARK_LIMITS.trayMaxG) {
      throw new Refusal('weight-implausible', `${givenG} g is not the weight of a tray.`);
    }
    return givenG;
  }
  const { scale, weight } = tray;
  if (scale.state !== 'ok') {
    throw new Refusal(
      'scale-not-ready',
      `The scale is ${scale.state}, so it cannot weigh the tray. Calibrate or repair it, or give the weight yourself.`,
    );
  }
  if (!scale.stable || (isHandled(weight) && tray.sown)) {
    throw new Refusal(
      'scale-unstable',
      'The weight is not steady yet. Leave the tray alone for two minutes, then mark again.',
    );
  }
  if (scale.grams < MARK_LIMITS.trayMinG) {
    throw new Refusal(
      'scale-empty',
      'There is nothing on the scale. Put the tray on it, then mark.',
    );
  }
  return scale.grams;
}

function markDry(tray: Tray, dryG: number): string | null {
  tray.run.dryG = dryG;
  tray.run.dryWeighed = true;
  tray.run.capacityG = Number.NaN;
  return 'The dry weight is taken. Soak and drain the tray, then mark it soaked.';
}

/** Container capacity, and the dry weight that goes with it: weighed, or reckoned from the medium. */
function markSoaked(tray: Tray, capacityG: number): string | null {
  const { run, profile, stage } = tray;
  const medium = profile?.media[stage?.medium ?? profile.stages[0]?.medium ?? 0];
  let note: string | null = null;
  if (!run.dryWeighed) {
    if (medium === undefined) {
      throw new Refusal(
        'dry-weight-unknown',
        'The dry weight is not known. Load a profile, which names the medium, or mark the dry tray first.',
      );
    }
    run.dryG = capacityG - gFromMl(capacityWaterMl(medium));
    note = `The dry weight is reckoned from the medium: ${Math.round(run.dryG)} g. A weighed one is better: mark dry before soaking.`;
  }
  if (!(capacityG - run.dryG >= MARK_LIMITS.waterMinG) || !(run.dryG > 0)) {
    throw new Refusal(
      'no-water-gained',
      `A soaked tray of ${Math.round(capacityG)} g does not go with a dry weight of ${Math.round(run.dryG)} g. Check that the tray was soaked, and that tray and lid are as they were when marked dry.`,
    );
  }
  run.capacityG = capacityG;
  run.sinceSoakedMs = 0;
  tray.weight = { ...NO_WEIGHT, settledG: capacityG };
  tray.write({ kind: 'capacity', capacityG, dryG: run.dryG, dryWeighed: run.dryWeighed });
  return note;
}

/** Other pieces stand on the scale now: the old weights say nothing about them. */
function forgetWeights(tray: Tray): string {
  tray.run.capacityG = Number.NaN;
  tray.run.dryG = Number.NaN;
  tray.run.dryWeighed = false;
  tray.weight = NO_WEIGHT;
  return 'The weights of the old pieces no longer count. When the soaked blocks stand drained on the scale, mark soaked.';
}

export function stageNext(tray: Tray): Result<'stage.next'> {
  const { profile } = tray;
  if (profile === null || !tray.sown) {
    throw new Refusal('not-sown', 'No stage is running. Load a profile and mark the tray sown.');
  }
  const change = changeByGrower(stageState(tray), profile);
  if (change === null) throw new Refusal('last-stage', 'This is the last stage of the profile.');
  enterStage(tray, change);
  return { stage: tray.run.stage };
}

export function stageStay(tray: Tray, { stay }: Params<'stage.stay'>): Result<'stage.stay'> {
  if (!tray.sown) {
    throw new Refusal('not-sown', 'No stage is running. Load a profile and mark the tray sown.');
  }
  tray.run.staying = stay;
  tray.stale = true;
  return { staying: stay };
}

export function alarmAccept(tray: Tray, alarm: AlarmName): AlarmReport {
  if (tray.alarms.record(alarm).state === 'normal') {
    throw new Refusal('alarm-normal', `There is no alarm ${alarm} to accept.`);
  }
  return alarmReport(tray, tray.alarms.accept(alarm));
}

export function alarmClear(tray: Tray, ticker: Ticker, alarm: AlarmName): AlarmReport {
  const record = tray.alarms.record(alarm);
  if (record.state === 'normal') {
    throw new Refusal('alarm-normal', `There is no alarm ${alarm} to clear.`);
  }
  if (!tray.alarms.clear(alarm)) {
    throw new Refusal(
      'still-present',
      `The cause of ${alarm} is still there. Put it right first; the alarm can be cleared when it has gone.`,
    );
  }
  if (alarm === 'probe-jumped') tray.rootZone.restartJudging();
  ticker.weightWatch.forget();
  return alarmReport(tray, record);
}

export function alarmShelve(tray: Tray, { alarm, forS }: Params<'alarm.shelve'>): AlarmReport {
  const record = tray.alarms.record(alarm);
  if (record.state === 'normal') {
    throw new Refusal('alarm-normal', `There is no alarm ${alarm} to shelve.`);
  }
  if (forS > GUARD_LIMITS.shelveMaxS) {
    throw new Refusal('shelved-too-long', 'An alarm can be shelved for a day at most.');
  }
  const { uptimeMs } = tray;
  return alarmReport(tray, tray.alarms.shelve(alarm, uptimeMs, uptimeMs + forS * 1000));
}
