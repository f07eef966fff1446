/** What goes from a tray that was flooded: the flood, or a thing that came with it. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import {
  type Change,
  departed,
  EMPTY_LEDGER,
  type Ledger,
  matchG,
  mostG,
  type Possible,
  type Step,
} from './ledger';
import { driedShare } from './ledger-unseen';

/**
 * What a flooded tray loses first is the flood: it is tipped, or set down again while it runs off; and what dries meanwhile,
 * of a flood that is more than that. Of what the plants may weigh nobody knows, and it may be flood as well.
 */
export function isOfFlood(
  { stepG, waterG, handMs }: Change,
  { capacityG, dryG, plantsG }: Possible,
): boolean {
  const floodG = waterG - (capacityG - plantsG);
  const driesG = Math.min(Math.max(0, floodG), driedShare(handMs) * (capacityG - dryG));
  return -stepG <= floodG + driesG + matchG(-stepG);
}

/**
 * What was put on while a flood ran off passed for a part of it. It shows as it is taken off: an hour after the flood the tray
 * still weighed more than it holds, and without the thing it has dried by no more than wool may since.
 */
export function hasStoodInFlood(
  ledger: Ledger,
  { stepG, waterG, uptimeMs }: Change,
  possible: Possible,
): boolean {
  const lostG = -stepG;
  const flood = ledger
    .filter(({ flowed, stepG: ofG }) => flowed && ofG >= lostG - matchG(lostG))
    .at(-1);
  if (flood === undefined || waterG <= mostG(possible)) return false;
  const sinceMs = uptimeMs - flood.atMs;
  const driedG = driedShare(sinceMs) * (possible.capacityG - possible.dryG);
  return sinceMs >= LIMITS.standsMs && possible.capacityG - (waterG - lostG) <= driedG;
}

/**
 * What came at once and ran off in part passed for water, but may have been a thing that came with it. It shows as no more than
 * that is taken off again, and more than a lid weighs: in doubt the tray is the drier. Null where nothing came so.
 */
export function cameInFlood(ledger: Ledger, { stepG }: Change): Ledger | null {
  const mayBe = ({ kind, ranOff, stepG: ofG }: Step): boolean =>
    kind === 'water' && ranOff === true && -stepG <= ofG + matchG(ofG);
  const came = ledger.filter(mayBe).at(-1);
  if (came === undefined || -stepG <= LIMITS.goesMostG) return null;
  const { ranOff, ...was } = came;
  const restG = came.stepG + stepG;
  const water: Step = { ...was, stepG: restG, afterG: came.afterG + stepG, flowed: true };
  return departed(ledger, [came], () => (restG > LIMITS.matchG ? [water] : EMPTY_LEDGER));
}
