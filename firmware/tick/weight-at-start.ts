/** What a start knows of the weight: what is kept of it, and whether the tray may have stood unweighed since. */
import { REQUEST_DETAIL } from '../../shared/board/words';
import type { Board } from '../board';
import { isOnTray } from '../control/handling';
import { foreignG } from '../control/ledger';
import { keepLedger, keptLedger, lastStep } from '../control/ledger-rows';
import { cutShort, type WeightState, weightBefore } from '../control/weight';
import type { KnownWeights } from '../tray/run-state';
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

/** Since when a hand has the tray off the scale, ms of uptime; null where none has. */
export const wentMsOf = ({ hand }: WeightState): number | null => hand?.wentMs ?? null;

/** Keeps `state` that follows on `before`, in a boot that began at `runAtZeroMs` of run time, for a start in its midst. */
export function keepWeight(
  known: KnownWeights,
  before: WeightState,
  state: WeightState,
  runAtZeroMs: number,
): void {
  const { ledger, settledG } = cutShort(state);
  known.settledG = settledG;
  known.handled = state.hand !== null && isOnTray(state.hand);
  const isOff = wentMsOf(state) !== null || wentMsOf(before) !== null;
  if (state.ledger === before.ledger && !isOff) return;
  known.shiftG = foreignG(ledger);
  keepLedger(ledger, known.stepsG, known.stepKinds);
  Object.assign(known, lastStep(ledger, runAtZeroMs));
}
