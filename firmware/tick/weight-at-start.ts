/** What a start knows of the weight: what is kept of it, and whether the tray may have stood unweighed since. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import { REQUEST_DETAIL } from '../../shared/board/words';
import type { Board } from '../board';
import { keptLedger } from '../control/ledger-rows';
import { type WeightState, weightBefore } from '../control/weight';
import type { Tray } from '../tray/tray';

/** They hold while the scale cannot say what it weighs. */
const SILENT = ['scale-silent', 'scale-saturated'] as const satisfies readonly AlarmName[];

/** For hours, before this start: nobody knows how long the board had no power, or waited in the boot drive for its image. */
function mayHaveStoodUnweighed(board: Board): boolean {
  const cause = board.resetCause();
  const leftBootDrive = cause === 'request' && board.resetDetail() === REQUEST_DETAIL.bootDrive;
  return cause === 'power-on' || leftBootDrive;
}

/** Since when the scale had said nothing as the board stopped, by its alarm, ms of uptime; 0 where it had weighed until then. */
function silentSinceMs({ alarms, uptimeMs }: Tray): number {
  const silent = SILENT.find((name) => alarms.stoodBefore(name, uptimeMs));
  return silent === undefined ? 0 : Math.min(0, alarms.record(silent).raisedMs);
}

/** The weight of a tray as this start finds it. */
export function weightAtStart(tray: Tray): WeightState {
  const known = tray.run.weights;
  const unweighed = mayHaveStoodUnweighed(tray.board);
  const kept = unweighed ? { ...known, stepAfterG: Number.NaN } : known;
  const ledger = keptLedger(kept, tray.runAtZeroMs);
  const cut = unweighed && !known.handled;
  return weightBefore(ledger, known.settledG, cut ? Number.NEGATIVE_INFINITY : silentSinceMs(tray));
}
