/** The time of day, as the laptop tells it. */
import type { Params, Result } from '../../shared/link/methods';
import { believedOutageMs } from '../control/outage';
import { RECORD_LIMITS } from '../limits';
import type { Ticker } from '../tick/ticker';

/**
 * Sets the time of day. The time that the board was off before this start is added to the stage, if the clock was
 * known before: plants do not stop. Until the next start a clock that is set right corrects what a wrong one added; one
 * that makes the outage longer than a tray would bear adds nothing. The caps on water know only uptime. Tells the
 * outage where it is news.
 */
export function clockSet(
  { tray, staging }: Ticker,
  { unixMs }: Params<'clock.set'>,
): Result<'clock.set'> {
  const { clock } = tray;
  const uptimeMs = tray.board.clockMs();
  const movedMs = Math.abs(unixMs - clock.unixMs(uptimeMs));
  if (clock.known && movedMs < RECORD_LIMITS.clockDriftMs) return { outageS: 0 };
  const outageMs = believedOutageMs(clock.set(unixMs, uptimeMs));
  const isNews = staging.outage(outageMs);
  if (isNews) tray.noteOutage(outageMs);
  const outageS = isNews ? Math.round(outageMs / 1000) : 0;
  tray.write({ kind: 'clock', unixMs, outageS }, uptimeMs);
  tray.touch();
  return { outageS };
}
