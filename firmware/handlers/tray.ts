/** Clock, marks, stages and alarms: what the grower tells the controller. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { AlarmReport, MarkNote, Params, Result } from '../../shared/link/methods';
import { capacityWaterMl } from '../../shared/physics/dry-back';
import { gFromMl } from '../../shared/physics/water';
import { changeByGrower } from '../control/stages';
import { isHandled, NO_WEIGHT } from '../control/weight';
import { GUARD_LIMITS, RECORD_LIMITS } from '../limits';
import { refuse } from '../link/refusal';
import { enterStage, markStage, passStageTime, reportedStage, stageState } from '../tick/staging';
import type { Ticker } from '../tick/ticker';
import type { Tray } from '../tray/tray';
import { MARK_LIMITS } from './limits';
import { alarmReport, orNull } from './status';

/**
 * Sets the time of day. The first time in a boot, the time the board was off is added to the stage,
 * if the clock was known before: plants do not stop. A laptop with a wrong date can add at most a
 * week, and never touches the caps on water, which know only uptime.
 */
export function clockSet(tray: Tray, { unixMs }: Params<'clock.set'>): Result<'clock.set'> {
  const uptimeMs = tray.board.clockMs();
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
  return { outageS: outageS };
}

/**
 * Takes a mark: what it says of weights and reservoir, then of the stage, and that hands were at the
 * tray. Refuses `no-profile`, `not-sown`, and a weight that cannot be (`weightFor`, `markSoaked`).
 */
export function markSet(
  tray: Tray,
  ticker: Ticker,
  { mark, trayG }: Params<'mark.set'>,
): Result<'mark.set'> {
  let note: MarkNote | null = null;
  const stateless = mark === 'dry' || mark === 'soaked' || mark === 'refilled';
  if (!stateless && tray.profile === null) refuse('no-profile');
  if (mark !== 'sown' && !stateless && !tray.sown) refuse('not-sown');
  if (mark === 'dry') note = markDry(tray, weightFor(tray, trayG));
  if (mark === 'soaked') note = markSoaked(tray, weightFor(tray, trayG));
  if (mark === 'refilled') tray.run.usedMl = 0;
  tray.write({
    kind: 'mark',
    mark,
    stage: tray.run.stage,
    trayG: trayG ?? tray.scale.grams,
    rootZoneC: tray.rootZone.celsius,
  });
  markStage(tray, mark);
  if (mark === 'transplanted') note = forgetWeights(tray);
  // A hand was at the tray: what moved until now was the hand.
  tray.rootZone.restartJudging();
  tray.mat.restartJudging();
  ticker.weightWatch.forget();
  tray.stale = true;
  return {
    trayG: orNull(trayG ?? tray.scale.grams),
    dryG: orNull(tray.run.dryG),
    stage: reportedStage(tray.run.stage),
    note: note,
  };
}

/** The weight a mark stands for: given by the grower, or read from a scale that can be trusted now. */
function weightFor(tray: Tray, givenG: number | undefined): number {
  if (givenG !== undefined) {
    if (givenG < MARK_LIMITS.trayMinG || givenG > MARK_LIMITS.trayMaxG)
      refuse('weight-implausible', givenG);
    return givenG;
  }
  const { scale, weight } = tray;
  if (scale.state !== 'ok') refuse('scale-not-ready', scale.state);
  if (!scale.stable || (isHandled(weight) && tray.sown)) refuse('scale-unstable');
  if (scale.grams < MARK_LIMITS.trayMinG) refuse('scale-empty');
  return scale.grams;
}

function markDry(tray: Tray, dryG: number): MarkNote {
  tray.run.dryG = dryG;
  tray.run.dryWeighed = true;
  tray.run.capacityG = Number.NaN;
  return 'dry-taken';
}

/** Container capacity, and the dry weight that goes with it: weighed, or reckoned from the medium. */
function markSoaked(tray: Tray, capacityG: number): MarkNote | null {
  const { run, profile, stage } = tray;
  const medium = profile?.media[stage?.medium ?? profile.stages[0]?.medium ?? 0];
  let note: MarkNote | null = null;
  let { dryG } = run;
  if (!run.dryWeighed) {
    if (medium === undefined) refuse('dry-weight-unknown');
    dryG = capacityG - gFromMl(capacityWaterMl(medium));
    note = 'dry-reckoned';
  }
  if (!(capacityG - dryG >= MARK_LIMITS.waterMinG) || !(dryG > 0))
    refuse('no-water-gained', capacityG, dryG);
  run.dryG = dryG;
  run.capacityG = capacityG;
  run.sinceSoakedMs = 0;
  tray.weight = { ...NO_WEIGHT, settledG: capacityG };
  tray.write({ kind: 'capacity', capacityG, dryG, dryWeighed: run.dryWeighed });
  return note;
}

/** Other pieces stand on the scale now: the old weights say nothing about them. */
function forgetWeights(tray: Tray): MarkNote {
  tray.run.capacityG = Number.NaN;
  tray.run.dryG = Number.NaN;
  tray.run.dryWeighed = false;
  tray.weight = NO_WEIGHT;
  return 'weights-forgotten';
}

/** Goes on to the next stage by the grower's word. Refuses `not-sown` and `last-stage`. */
export function stageNext(tray: Tray): Result<'stage.next'> {
  const { profile } = tray;
  if (profile === null || !tray.sown) refuse('not-sown');
  const change = changeByGrower(stageState(tray), profile);
  if (change === null) refuse('last-stage');
  enterStage(tray, change);
  return { stage: tray.run.stage };
}

/** Keeps run time from ending the stage, or lets it again. Refuses `not-sown`. */
export function stageStay(tray: Tray, { stay }: Params<'stage.stay'>): Result<'stage.stay'> {
  if (!tray.sown) refuse('not-sown');
  tray.run.staying = stay;
  tray.stale = true;
  return { staying: stay };
}

/** A person has seen the alarm. Refuses `alarm-normal`. */
export function alarmAccept(tray: Tray, alarm: AlarmName): AlarmReport {
  if (tray.alarms.record(alarm).state === 'normal') refuse('alarm-normal', alarm);
  return alarmReport(tray, tray.alarms.accept(alarm));
}

/** Takes a latched alarm back. Refuses `alarm-normal`, and `still-present` while its cause is there. */
export function alarmClear(tray: Tray, ticker: Ticker, alarm: AlarmName): AlarmReport {
  const record = tray.alarms.record(alarm);
  if (record.state === 'normal') refuse('alarm-normal', alarm);
  if (!tray.alarms.clear(alarm)) refuse('still-present', alarm);
  if (alarm === 'probe-jumped') tray.rootZone.restartJudging();
  ticker.weightWatch.forget();
  return alarmReport(tray, record);
}

/** Quiet for `forS` seconds, a day at most. Refuses `alarm-normal` and `shelved-too-long`. */
export function alarmShelve(tray: Tray, { alarm, forS }: Params<'alarm.shelve'>): AlarmReport {
  const record = tray.alarms.record(alarm);
  if (record.state === 'normal') refuse('alarm-normal', alarm);
  if (forS > GUARD_LIMITS.shelveMaxS) refuse('shelved-too-long', GUARD_LIMITS.shelveMaxS);
  const { uptimeMs } = tray;
  return alarmReport(tray, tray.alarms.shelve(alarm, uptimeMs, uptimeMs + forS * 1000));
}
