/** What a start knows of the weight: what is kept of it, and whether the tray may have stood unweighed since. */
import { REQUEST_DETAIL } from '../../shared/board/words';
import type { Board } from '../board';
import { keptLedger } from '../control/ledger-rows';
import { type WeightState, weightBefore } from '../control/weight';
import type { Tray } from '../tray/tray';

/** For hours, before this start: nobody knows how long the board had no power, or waited in the boot drive for its image. */
function mayHaveStoodUnweighed(board: Board): boolean {
  const cause = board.resetCause();
  const leftBootDrive = cause === 'request' && board.resetDetail() === REQUEST_DETAIL.bootDrive;
  return cause === 'power-on' || leftBootDrive;
}

/** The weight of a tray as this start finds it. */
export function weightAtStart(tray: Tray): WeightState {
  const known = tray.run.weights;
  const unweighed = mayHaveStoodUnweighed(tray.board);
  const kept = unweighed ? { ...known, stepAfterG: Number.NaN } : known;
  const ledger = keptLedger(kept, tray.runAtZeroMs);
  const cut = unweighed && !known.handled;
  return weightBefore(ledger, known.settledG, cut);
}
