/** Scale and probes: what the grower measures and corrects. Everything is checked again here. */
import { PROBE_NAMES, PROBES, probeFields } from '../../shared/board/probes';
import type { Params, Result, ScaleCalibration } from '../../shared/link/methods';
import { SCALE_WEIGHT_MIN_SHARE } from '../../shared/physics/bridge';
import { assert } from '../assert';
import { refuse } from '../link/refusal';
import type { ScaleSense } from '../sensing/scale';
import type { Ticker } from '../tick/ticker';
import { keptOrRefuse, unixMsNow } from './kept';
import { CALIBRATION_LIMITS as LIMITS } from './limits';
import { orNull } from './numbers';

/** The scale at the last tick: raw code, weight and spread in g; null for what it cannot tell. */
export function scaleRead({ senses }: Ticker): Result<'scale.read'> {
  const { scale, uptimeMs } = senses;
  return {
    state: scale.state,
    code: orNull(scale.code),
    trayG: orNull(scale.grams),
    stable: scale.stable,
    spreadG: orNull(scale.spreadG),
    uptimeMs,
  };
}

/** Starts a mean of `samples` raw codes, one a tick; one under way is dropped. */
export function scaleMeasure(
  { senses }: Ticker,
  { samples }: Params<'scale.measure'>,
): Result<'scale.measure'> {
  senses.scale.measure(samples);
  return { uptimeMs: senses.uptimeMs };
}

/** How far the measurement is, in codes. Refuses `no-measurement` when none was started. */
export function scaleMeasured({ senses }: Ticker): Result<'scale.measured'> {
  const { scale, rootZone } = senses;
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
  ticker: Ticker,
  { token: _, ...calibration }: Params<'scale.calibrate'>,
): Result<'scale.calibrate'> {
  const { tray, senses } = ticker;
  checkScale(calibration, senses.scale);
  const dated = { ...calibration, unixMs: unixMsNow(tray) };
  keptOrRefuse(tray.calibrations.useScale(dated));
  useScale(ticker, dated, 'scale');
  return { history: tray.calibrations.scale.length };
}

/**
 * Nothing on the scale: its reading becomes zero. Returns the shift, g. Refuses `scale-uncalibrated`,
 * `zero-too-far` for more than drift can be, and `storage-failing`.
 */
export function scaleZero(
  ticker: Ticker,
  { zeroCode }: Params<'scale.zero'>,
): Result<'scale.zero'> {
  const { calibrations } = ticker.tray;
  const { calibration } = ticker.senses.scale;
  if (calibration === null) refuse('scale-uncalibrated');
  const shiftG = (zeroCode - calibration.zeroCode) / calibration.countsPerG;
  if (Math.abs(shiftG) > calibration.cellG * LIMITS.zeroShiftMaxShare)
    refuse('zero-too-far', shiftG);
  keptOrRefuse(calibrations.useZero(zeroCode));
  const [inUse] = calibrations.scale;
  if (inUse !== undefined) useScale(ticker, inUse, 'scale-zero');
  return { shiftG };
}

/** Puts calibration `index` of the history in use again; 0 is the one in use. */
export function scaleRestore(
  ticker: Ticker,
  { index }: Params<'scale.restore'>,
): Result<'scale.restore'> {
  const { calibrations } = ticker.tray;
  const wanted = calibrations.scale[index];
  if (wanted === undefined) refuse('no-such-calibration', index, calibrations.scale.length);
  keptOrRefuse(calibrations.restoreScale(index));
  useScale(ticker, wanted, 'scale', true);
  return wanted;
}

/**
 * Puts a calibration into the senses. A tray that stands there is the same tray: where only the span of
 * the same cell is another, its known weights are told in the new one, so that dry-back does not move.
 */
function useScale(
  { tray, senses, weights, guard }: Ticker,
  calibration: ScaleCalibration,
  target: 'scale' | 'scale-zero',
  restored = false,
): void {
  const before = senses.scale.calibration;
  senses.applyCalibrations();
  if (before !== null && before.cellG === calibration.cellG) {
    const factor = before.countsPerG / calibration.countsPerG;
    if (Math.abs(factor - 1) <= LIMITS.sameCellSpanShare) weights.rescaled(factor);
    guard.weightRestarts();
  }
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

/** Every probe at the last tick: degrees Celsius, null while in doubt, and raw codes 0..4095. */
export function probeRead({ tray, senses }: Ticker): Result<'probe.read'> {
  return {
    ...probeFields('celsius', (name) => orNull(senses.probes[name].celsius)),
    ...probeFields('code', (name) => senses.probes[name].code),
    ...probeFields('state', (name) => senses.probes[name].state),
    ...probeFields('calibration', (name) => tray.calibrations.probe(name)),
    ...probeFields('curve', (name) => tray.curves[name]),
  };
}

/** Sets what is added to a probe's reading, K. Refuses `offset-too-large`, and `storage-failing`. */
export function probeCalibrate(
  { tray, senses }: Ticker,
  { channel, offsetK }: Params<'probe.calibrate'>,
): Result<'probe.calibrate'> {
  if (Math.abs(offsetK) > LIMITS.probeOffsetMaxK) refuse('offset-too-large', offsetK);
  const name = PROBE_NAMES[channel];
  assert(name !== undefined, 'probe-of-list');
  keptOrRefuse(tray.calibrations.useProbe(name, { offsetK, unixMs: unixMsNow(tray) }));
  senses.applyCalibrations();
  tray.write({ kind: 'calibration', target: PROBES[name].target, restored: false, offsetK });
  return { offsetK: offsetK };
}
