/** Scale, probe and pump: what the grower measures and corrects. Everything is checked again here. */
import { PROBE_CHANNEL } from '../../shared/board/map';
import type { Params, PumpCalibration, Result, ScaleCalibration } from '../../shared/link/methods';
import { SCALE_WEIGHT_MIN_SHARE } from '../../shared/physics/bridge';
import { serviceRun } from '../control/dose';
import { WATER_LIMITS } from '../limits';
import { refuse } from '../link/refusal';
import { Measurement, type ScaleSense } from '../sensing/scale';
import type { Tray } from '../tray/tray';
import { charge } from '../tray/water-account';
import { CALIBRATION_LIMITS as LIMITS } from './limits';
import { orNull } from './status';

/** Refuses where the flash did not take a value: nothing has changed. */
function keptOrRefuse(kept: boolean): void {
  if (!kept) refuse('storage-failing');
}

function unixMsNow(tray: Tray): number {
  const unixMs = tray.unixMs(tray.board.clockMs());
  return Number.isNaN(unixMs) ? 0 : Math.round(unixMs);
}

/** The scale at the last tick: raw code, weight and spread in g; null for what it cannot tell. */
export function scaleRead(tray: Tray): Result<'scale.read'> {
  const { scale, uptimeMs } = tray;
  return {
    state: scale.state,
    code: orNull(scale.code),
    trayG: orNull(scale.grams),
    stable: scale.stable,
    spreadG: orNull(scale.spreadG),
    uptimeMs: uptimeMs,
  };
}

/** Starts a mean of `samples` raw codes, one a tick; one under way is dropped. */
export function scaleMeasure(
  tray: Tray,
  { samples }: Params<'scale.measure'>,
): Result<'scale.measure'> {
  tray.scale.measurement = new Measurement(samples);
  return { uptimeMs: tray.uptimeMs };
}

/** How far the measurement is, in codes. Refuses `no-measurement` when none was started. */
export function scaleMeasured(tray: Tray): Result<'scale.measured'> {
  const { scale, rootZone } = tray;
  const { measurement } = scale;
  if (measurement === null) refuse('no-measurement');
  return {
    done: measurement.done,
    samples: measurement.samples,
    wanted: measurement.wanted,
    meanCode: measurement.meanCode,
    sdCode: measurement.sdCode,
    driftCode: measurement.driftCode,
    saturated: measurement.saturated,
    silent: scale.state === 'silent',
    rootZoneC: orNull(rootZone.celsius),
  };
}

/**
 * Puts a calibration of the scale in use, dated by the board's own clock; the ones before stay as
 * history. Refuses what no load cell gives (`checkScale`), and `storage-failing`.
 */
export function scaleCalibrate(
  tray: Tray,
  { token: _, ...calibration }: Params<'scale.calibrate'>,
): Result<'scale.calibrate'> {
  checkScale(calibration, tray.scale);
  const dated = { ...calibration, unixMs: unixMsNow(tray) };
  keptOrRefuse(tray.calibrations.useScale(dated));
  useScale(tray, dated, 'scale');
  return { history: tray.calibrations.scale.length };
}

/**
 * Nothing on the scale: its reading becomes zero. Returns the shift, g. Refuses `scale-uncalibrated`,
 * `zero-too-far` for more than drift can be, and `storage-failing`.
 */
export function scaleZero(tray: Tray, { zeroCode }: Params<'scale.zero'>): Result<'scale.zero'> {
  const { calibration } = tray.scale;
  if (calibration === null) refuse('scale-uncalibrated');
  const shiftG = (zeroCode - calibration.zeroCode) / calibration.countsPerG;
  if (Math.abs(shiftG) > calibration.cellG * LIMITS.zeroShiftMaxShare)
    refuse('zero-too-far', shiftG);
  keptOrRefuse(tray.calibrations.useZero(zeroCode));
  const [inUse] = tray.calibrations.scale;
  if (inUse !== undefined) useScale(tray, inUse, 'scale-zero');
  return { shiftG: shiftG };
}

/** Puts calibration `index` of the history in use again; 0 is the one in use. */
export function scaleRestore(
  tray: Tray,
  { index }: Params<'scale.restore'>,
): Result<'scale.restore'> {
  const wanted = tray.calibrations.scale[index];
  if (wanted === undefined) refuse('no-such-calibration', index, tray.calibrations.scale.length);
  keptOrRefuse(tray.calibrations.restoreScale(index));
  useScale(tray, wanted, 'scale', true);
  return wanted;
}

function useScale(
  tray: Tray,
  calibration: ScaleCalibration,
  target: 'scale' | 'scale-zero',
  restored = false,
): void {
  tray.applyCalibrations();
  tray.write({
    kind: 'calibration',
    target,
    restored,
    zeroCode: calibration.zeroCode,
    countsPerG: calibration.countsPerG,
    uncertaintyG: calibration.uncertaintyG,
  });
}

/** Refuses what no load cell for a tray gives, and any calibration while the scale itself is faulty. */
function checkScale(calibration: ScaleCalibration, scale: ScaleSense): void {
  const { countsPerG, massG, cellG } = calibration;
  if (!(countsPerG > 0)) refuse('wrong-sign');
  if (countsPerG < LIMITS.countsPerGMin || countsPerG > LIMITS.countsPerGMax)
    refuse('span-implausible', countsPerG);
  if (!(massG >= cellG * SCALE_WEIGHT_MIN_SHARE))
    refuse('weight-too-small', massG, cellG, cellG * SCALE_WEIGHT_MIN_SHARE);
  if (massG > cellG) refuse('weight-too-large', massG, cellG);
  if (scale.state === 'silent' || scale.state === 'saturated') refuse('scale-faulty');
}

/** Both probes at the last tick: degrees Celsius, null while in doubt, and raw codes 0..4095. */
export function probeRead(tray: Tray): Result<'probe.read'> {
  const { rootZone, mat, calibrations } = tray;
  return {
    rootZoneC: orNull(rootZone.celsius),
    matC: orNull(mat.celsius),
    rootZoneCode: rootZone.code,
    matCode: mat.code,
    probe: rootZone.state,
    matProbe: mat.state,
    calibration: calibrations.probe(PROBE_CHANNEL.rootZone),
    matCalibration: calibrations.probe(PROBE_CHANNEL.mat),
  };
}

/** Sets what is added to a probe's reading, K. Refuses `offset-too-large`, and `storage-failing`. */
export function probeCalibrate(
  tray: Tray,
  { channel, offsetK }: Params<'probe.calibrate'>,
): Result<'probe.calibrate'> {
  if (Math.abs(offsetK) > LIMITS.probeOffsetMaxK) refuse('offset-too-large', offsetK);
  keptOrRefuse(tray.calibrations.useProbe(channel, { offsetK, unixMs: unixMsNow(tray) }));
  tray.applyCalibrations();
  const target = channel === PROBE_CHANNEL.mat ? 'mat-probe' : 'probe';
  tray.write({ kind: 'calibration', target, restored: false, offsetK });
  return { offsetK: offsetK };
}

/**
 * Runs the pump for `ms` by the grower's hand, from the next tick on. Refuses `run-too-long`,
 * `pump-busy` while anything else is under way, and `held-by-alarm` where no run is safe.
 */
export function pumpRun(tray: Tray, { ms, reason }: Params<'pump.run'>): Result<'pump.run'> {
  if (ms > WATER_LIMITS.serviceMaxMs) refuse('run-too-long', WATER_LIMITS.serviceMaxMs / 1000);
  if (tray.water.phase !== 'idle') refuse('pump-busy');
  const held = tray.alarms.pumpHeldBy;
  if (held === 'restarting-often' || held === 'pump-stuck-on') refuse('held-by-alarm', held);
  tray.water = serviceRun(reason, ms, tray.pump?.mlPerS ?? 0, tray.uptimeMs);
  // It counts like any water: the account is about what left the reservoir.
  charge(tray.run, tray.water.plannedMl);
  tray.checkpoint();
  return { uptimeMs: tray.uptimeMs };
}

/** What the pump does: times in ms of pump time, `ranMs` of the run under way or else of the last. */
export function pumpState(tray: Tray): Result<'pump.state'> {
  const { water } = tray;
  const running = water.phase === 'service' || water.phase === 'dosing';
  return {
    running: running,
    leftMs: running ? Math.max(0, water.pumpMs - water.deliveredMs) : 0,
    ranMs: running ? water.deliveredMs : tray.lastRunMs,
    calibration: tray.pump,
  };
}

/** Sets the pump's rate, ml/s. Refuses `rate-implausible`, and `storage-failing`. */
export function pumpCalibrate(
  tray: Tray,
  { mlPerS, cvPercent }: Params<'pump.calibrate'>,
): Result<'pump.calibrate'> {
  if (mlPerS < LIMITS.mlPerSMin || mlPerS > LIMITS.mlPerSMax) refuse('rate-implausible', mlPerS);
  const previous = tray.pump;
  const calibration: PumpCalibration = { mlPerS, cvPercent, unixMs: unixMsNow(tray) };
  keptOrRefuse(tray.calibrations.usePump(calibration));
  tray.run.pumpRunMs = 0;
  tray.stale = true;
  tray.write({
    kind: 'calibration',
    target: 'pump',
    restored: false,
    mlPerS,
    cvPercent,
    previousMlPerS: previous?.mlPerS ?? Number.NaN,
  });
  return { previousMlPerS: previous?.mlPerS ?? null };
}
