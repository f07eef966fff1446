/** A mat that is warm though it is off: its own switch, or the one before it, has not opened. Pure. */
import { OUTPUT } from '../../shared/board/words';
import { median } from './median';
import { between, type Reading } from './record';

/**
 * By how much the mat was warmer than the root zone while it was off, K: the middle of the readings from `fromMs` to
 * `toMs`; NaN where none had both.
 */
export function matWarmK(readings: readonly Reading[], fromMs: number, toMs: number): number {
  return median(
    between(readings, fromMs, toMs)
      .filter(({ outputs }) => (outputs & OUTPUT.matOn) === 0)
      .map(({ matC, rootZoneC }) => matC - rootZoneC)
      .filter(Number.isFinite),
  );
}
