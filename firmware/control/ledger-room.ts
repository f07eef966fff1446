/**
 * What passed for water and shows to have been a thing took no room in the wool: what came after it is judged anew. Pure; the
 * steps themselves are booked in `ledger-booking.ts`.
 */
import { type Ledger, type Step, sumG } from './ledger';

/**
 * The ledger once `things` show to have been things, where the wool and its tray weigh `mostG` at most: what came after one
 * that had passed for water, and was too much beside it, was water if the wool had room for it then. What the tray weighed
 * then must be known.
 */
export function withRoom(ledger: Ledger, things: Ledger, mostG: number): Ledger {
  const hadPassed = (step: Step): boolean => step.kind === 'water' && things.includes(step);
  const isNoWater = (step: Step): boolean => step.kind !== 'water' || hadPassed(step);
  const first = ledger.findIndex(hadPassed);
  if (first < 0) return ledger;
  return ledger.map((step, i) => {
    if (i < first || step.kind !== 'on' || things.includes(step)) return step;
    const heldG = step.afterG - sumG(ledger.slice(0, i).filter(isNoWater));
    return heldG <= mostG ? { ...step, kind: 'water' } : step;
  });
}
