/** The pump by the grower's hand, and its calibration. */
import type { Params, PumpCalibration, Result } from '../../shared/link/methods';
import { isPumping } from '../control/dose';
import { serviceHeldBy } from '../control/interlock';
import { WATER_LIMITS } from '../limits';
import { refuse } from '../link/refusal';
import type { Ticker } from '../tick/ticker';
import { keptOrRefuse, unixMsNow } from './kept';
import { CALIBRATION_LIMITS as LIMITS } from './limits';
import { thousandths } from './numbers';

/**
 * Runs the pump for `ms` by the grower's hand, from the next tick on. Refuses `run-too-long`,
 * `pump-busy` while anything else is under way, and `held-by-alarm` where no run is safe.
 */
export function pumpRun(
  { tray, watering }: Ticker,
  { ms, reason }: Params<'pump.run'>,
): Result<'pump.run'> {
  if (ms > WATER_LIMITS.serviceMaxMs) refuse('run-too-long', WATER_LIMITS.serviceMaxMs / 1000);
  if (watering.dose.phase !== 'idle') refuse('pump-busy');
  const held = serviceHeldBy(tray.alarms.pumpHeldBy);
  if (held !== null) refuse('held-by-alarm', held);
  watering.service(reason, ms);
  return { uptimeMs: tray.uptimeMs };
}

/** What the pump does: times in ms of pump time, `ranMs` of the run under way or else of the last. */
export function pumpState({ tray, watering }: Ticker): Result<'pump.state'> {
  const { dose, ranMs } = watering;
  const running = isPumping(dose);
  return {
    running,
    leftMs: running ? Math.max(0, dose.pumpMs - dose.deliveredMs) : 0,
    ranMs,
    calibration: tray.pump,
    share: thousandths(watering.proofs.pumpShare),
    scatter: thousandths(watering.proofs.pumpScatter),
  };
}

/** The grower's stop: whatever the pump is doing, it ends with this call. */
export function pumpStop({ watering }: Ticker): Result<'pump.stop'> {
  return { ranMs: watering.stop() };
}

/** Sets the pump's rate, ml/s. Refuses `rate-implausible`, and `storage-failing`. */
export function pumpCalibrate(
  { tray, watering }: Ticker,
  { mlPerS, cvPercent }: Params<'pump.calibrate'>,
): Result<'pump.calibrate'> {
  if (mlPerS < LIMITS.mlPerSMin || mlPerS > LIMITS.mlPerSMax) refuse('rate-implausible', mlPerS);
  const previous = tray.pump;
  const calibration: PumpCalibration = { mlPerS, cvPercent, unixMs: unixMsNow(tray) };
  keptOrRefuse(tray.calibrations.usePump(calibration));
  watering.pumpCalibrated();
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
