/** What becomes of the charge of a dose that has ended. Pure. */
import { WATER_LIMITS as LIMITS } from '../limits';
import type { DoseEnd } from './dose';

export interface Settlement {
  /** What was charged and not pumped, ml: it goes back to the account. */
  readonly backMl: number;
  /** The water that the stage opens with is still to be given. */
  readonly opensAgain: boolean;
}

/** All of it was given, or nobody knows how much. */
const GIVEN: Settlement = { backMl: 0, opensAgain: false };

/**
 * A dose that was cut short gives back what the pump, at `mlPerS`, did not run. The first water of a stage (`opens`)
 * that a hand or an alarm cut short before half of it had come, or that did not arrive, is still to be given; one the
 * grower stopped (`byHand`) is not.
 */
export function settlement(
  { verdict, plannedMl, ranMs }: Pick<DoseEnd, 'verdict' | 'plannedMl' | 'ranMs'>,
  opens: boolean,
  mlPerS: number,
  byHand: boolean,
): Settlement {
  if (verdict === 'not-seen') return { backMl: 0, opensAgain: opens };
  if (verdict !== 'stopped' && verdict !== 'handled') return GIVEN;
  const pumpedMl = (ranMs / 1000) * mlPerS;
  const isShort = pumpedMl < plannedMl * LIMITS.lastDoseMinShare;
  return {
    backMl: pumpedMl < plannedMl ? plannedMl - pumpedMl : 0,
    opensAgain: opens && isShort && !byHand,
  };
}
