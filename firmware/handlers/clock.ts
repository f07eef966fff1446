/** The time of day, as the laptop tells it. */
import type { Params, Result } from '../../shared/link/methods';
import { RECORD_LIMITS } from '../limits';
import type { Ticker } from '../tick/ticker';

/**
 * Sets the time of day. The first time in a boot, the time the board was off is added to the stage,
 * if the clock was known before: plants do not stop. A laptop with a wrong date can add at most a
 * week, and never touches the caps on water, which know only uptime.
 */
export function clockSet(
  { tray, staging }: Ticker,
  { unixMs }: Params<'clock.set'>,
): Result<'clock.set'> {
  const { clock } = tray;
  const uptimeMs = tray.board.clockMs();
  const movedMs = Math.abs(unixMs - clock.unixMs(uptimeMs));
  if (clock.known && movedMs < RECORD_LIMITS.clockDriftMs) return { outageS: 0 };
  const outageMs = Math.min(clock.set(unixMs, uptimeMs), RECORD_LIMITS.outageMaxMs);
  const outageS = Math.round(outageMs / 1000);
  tray.write({ kind: 'clock', unixMs, outageS }, uptimeMs);
  if (outageMs > 0) {
    staging.pass(outageMs, 'outage');
    tray.noteOutage(outageMs);
  }
  tray.touch();
  return { outageS };
}
