/** Scale, probe and pump: what the grower measures and corrects. Everything is checked again here. */
import { PROBE_CHANNEL } from '../../shared/board/map';
import type { Params, PumpCalibration, Result, ScaleCalibration } from '../../shared/link/methods';
import { RPC_ERROR } from '../../shared/link/methods';
import { serviceRun } from '../control/water';
import { WATER_LIMITS } from '../limits';
import { Refusal } from '../link/server';
import { charge } from '../run/water-account';
import { Measurement, type ScaleSense } from '../sensing/scale';
import type { Tray } from '../tray';
import { CALIBRATION_LIMITS as LIMITS } from './limits';
import { orNull } from './status';

/** Thrown where the flash did not take a value: nothing has changed. */
function keptOrRefuse(kept: boolean): void {
  if (kept) return;
  throw new Refusal(
    'storage-failing',
    'The board could not write its settings, so nothing was changed. Try again; if it stays so, the flash is worn out and the board needs replacing.',
  );
}

function unixMsNow(tray: Tray): number {
  const unixMs = tray.unixMs(tray.board.uptimeMs());
  return Number.isNaN(unixMs) ? 0 : Math.round(unixMs);
}

export function scaleRead(tray: Tray): Result<'scale.read'> {
  const { scale, uptimeMs } = tray;
  return {
    state: scale.state,
    code: orNull(scale.code),
    trayG: orNull(scale.grams),
    stable: scale.stable,
    spreadG: orNull(scale.spreadG),
    uptimeMs,
  };
}

export function scaleMeasure(
  tray: Tray,
  { samples }: Params<'scale.measure'>,
): Result<'scale.measure'> {
  tray.scale.measurement = new Measurement(samples, tray.uptimeMs);
  return { uptimeMs: tray.uptimeMs };
}

export function scaleMeasured(tray: Tray): Result<'scale.measured'> {
  const { scale, rootZone } = tray;
  const { measurement } = scale;
  if (measurement === null) {
    throw new Refusal('no-measurement', 'No measurement was started. Start one first.');
  }
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

export function scaleCalibrate(
  tray: Tray,
  { token: _, ...calibration }: Params<'scale.calibrate'>,
): Result<'scale.calibrate'> {
  checkScale(calibration, tray.scale);
  const dated = { ...calibration, unixMs: unixMsNow(tray) };
  keptOrRefuse(tray.calibrations.useScale(dated));
  useScale(tray, dated, false);
  return { history: tray.calibrations.scale.length };
}

/** Nothing on the scale: its reading becomes zero. Only a small shift is believed. */
export function scaleZero(tray: Tray, { zeroCode }: Params<'scale.zero'>): Result<'scale.zero'> {
  const { calibration } = tray.scale;
  if (calibration === null) {
    throw new Refusal(
      'scale-uncalibrated',
      'The scale has never been calibrated, so it has no zero to move. Calibrate it with a known weight.',
    );
  }
  const shiftG = (zeroCode - calibration.zeroCode) / calibration.countsPerG;
  if (Math.abs(shiftG) > calibration.cellG * LIMITS.zeroShiftMaxShare) {
    throw new Refusal(
      'zero-too-far',
      `The empty scale reads ${Math.round(shiftG)} g, too far from zero for drift. Take everything off the scale and try again, or calibrate it anew.`,
    );
  }
  keptOrRefuse(tray.calibrations.useZero(zeroCode));
  const [inUse] = tray.calibrations.scale;
  if (inUse !== undefined) useScale(tray, inUse, false);
  return { shiftG };
}

export function scaleRestore(
  tray: Tray,
  { index }: Params<'scale.restore'>,
): Result<'scale.restore'> {
  const wanted = tray.calibrations.scale[index];
  if (wanted === undefined) {
    throw new Refusal(
      'no-such-calibration',
      `The board keeps ${tray.calibrations.scale.length} scale calibrations; there is no number ${index}.`,
    );
  }
  keptOrRefuse(tray.calibrations.restoreScale(index));
  useScale(tray, wanted, true);
  return wanted;
}

function useScale(tray: Tray, calibration: ScaleCalibration, restored: boolean): void {
  tray.applyCalibrations();
  tray.write({
    kind: 'calibration',
    target: 'scale',
    restored,
    a: calibration.zeroCode,
    b: calibration.countsPerG,
    c: calibration.uncertaintyG,
  });
}

function checkScale(calibration: ScaleCalibration, scale: ScaleSense): void {
  const { countsPerG, massG, cellG } = calibration;
  if (!(countsPerG > 0)) {
    throw new Refusal(
      'wrong-sign',
      'The reading falls when weight is put on. Turn the load cell over, or swap its two signal wires, and calibrate again.',
    );
  }
  if (countsPerG < LIMITS.countsPerGMin || countsPerG > LIMITS.countsPerGMax) {
    throw new Refusal(
      'span-implausible',
      `${countsPerG.toFixed(1)} counts per gram does not fit any load cell for a tray. Check the weight and its unit, and the wiring.`,
    );
  }
  if (!(massG >= cellG * LIMITS.massMinShare)) {
    throw new Refusal(
      'weight-too-small',
      `A weight of ${massG} g is too small for a cell of ${cellG} g. Use at least ${Math.ceil(cellG * LIMITS.massMinShare)} g.`,
    );
  }
  if (massG > cellG) {
    throw new Refusal('weight-too-large', 'The weight is more than the cell is rated for.');
  }
  if (scale.state === 'silent' || scale.state === 'saturated') {
    throw new Refusal(
      'scale-faulty',
      'The scale is silent or saturated now. Check its plug and that nothing presses on it.',
    );
  }
}

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

export function probeCalibrate(
  tray: Tray,
  { channel, offsetK }: Params<'probe.calibrate'>,
): Result<'probe.calibrate'> {
  if (Math.abs(offsetK) > LIMITS.probeOffsetMaxK) {
    throw new Refusal(
      'offset-too-large',
      `A probe ${offsetK.toFixed(2)} K off is not out of adjustment but faulty, or not in the bath. Nothing was changed.`,
    );
  }
  keptOrRefuse(tray.calibrations.useProbe(channel, { offsetK, unixMs: unixMsNow(tray) }));
  tray.applyCalibrations();
  const target = channel === PROBE_CHANNEL.mat ? 'mat-probe' : 'probe';
  tray.write({ kind: 'calibration', target, restored: false, a: offsetK, b: 0, c: 0 });
  return { offsetK };
}

export function pumpRun(tray: Tray, { ms, reason }: Params<'pump.run'>): Result<'pump.run'> {
  if (ms > WATER_LIMITS.serviceMaxMs) {
    throw new Refusal(
      'run-too-long',
      `The pump runs at most ${WATER_LIMITS.serviceMaxMs / 1000} s at a time by hand.`,
    );
  }
  if (tray.water.phase !== 'idle') {
    throw new Refusal(
      'pump-busy',
      'A dose is under way. Wait until it has soaked in.',
      RPC_ERROR.busy,
    );
  }
  const held = tray.alarms.pumpHeldBy;
  if (held === 'restarting-often' || held === 'pump-stuck-on') {
    throw new Refusal(
      'held-by-alarm',
      `The alarm ${held} holds the pump off. See to it and clear it.`,
    );
  }
  tray.water = serviceRun(reason, ms, tray.pump?.mlPerS ?? 0, tray.uptimeMs);
  // It counts like any water: the account is about what left the reservoir.
  charge(tray.run, tray.water.plannedMl);
  tray.checkpoint();
  return { uptimeMs: tray.uptimeMs };
}

export function pumpState(tray: Tray): Result<'pump.state'> {
  const { water } = tray;
  const running = water.phase === 'service' || water.phase === 'dosing';
  return {
    running,
    leftMs: running ? Math.max(0, water.pumpMs - water.deliveredMs) : 0,
    ranMs: running ? water.deliveredMs : tray.lastRunMs,
    calibration: tray.pump,
  };
}

export function pumpCalibrate(
  tray: Tray,
  { mlPerS, cvPercent }: Params<'pump.calibrate'>,
): Result<'pump.calibrate'> {
  if (mlPerS < LIMITS.mlPerSMin || mlPerS > LIMITS.mlPerSMax) {
    throw new Refusal(
      'rate-implausible',
      `${mlPerS.toFixed(3)} ml/s is not a rate of a dosing pump for a tray. Check the tube and the scale.`,
    );
  }
  const previous = tray.pump;
  const calibration: PumpCalibration = { mlPerS, cvPercent, unixMs: unixMsNow(tray) };
  keptOrRefuse(tray.calibrations.usePump(calibration));
  tray.run.pumpRunMs = 0;
  tray.stale = true;
  tray.write({
    kind: 'calibration',
    target: 'pump',
    restored: false,
    a: mlPerS,
    b: cvPercent,
    c: previous?.mlPerS ?? Number.NaN,
  });
  return { previousMlPerS: previous?.mlPerS ?? null };
}
