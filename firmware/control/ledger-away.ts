/** A tray that comes back on its scale: whether what stands there now can be it, and what it weighs more than it went. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import {
  type Change,
  FOUND_ANYHOW,
  foreignG,
  type Ledger,
  mostG,
  type Possible,
  pouredG,
} from './ledger';
import { driedShare } from './ledger-unseen';

/** What a tray may have dried by, as a share of its water, in so long beside the scale. */
function awayDriedShare(awayMs: number): number {
  return Math.min(LIMITS.awayDriedShare + driedShare(awayMs), LIMITS.awayDriedMostShare);
}

/** A tray whose weights nobody knows holds what it went with. */
function asFarAsKnown({ capacityG, dryG }: Possible, waterG: number): Possible {
  return {
    capacityG: Number.isNaN(capacityG) ? waterG : capacityG,
    dryG: Number.isNaN(dryG) ? 0 : dryG,
  };
}

/**
 * The tray is back when what stands there now can be it: hardly drier than it went, and not more than it holds, or than
 * the flood in it as it went - it may have been soaked meanwhile. What stood on it may have been taken off beside the scale, or was water that ran out
 * there: whichever leaves it more as it went. What was taken for water may have been a thing, if nothing else fits. Null
 * when it is something else.
 */
export function withTrayBack(
  ledger: Ledger,
  afterG: number,
  waterG: number,
  possible: Possible,
  uptimeMs: number,
): Ledger | null {
  const wentMs = ledger.find(({ kind }) => kind === 'tray')?.atMs ?? uptimeMs;
  const holds = asFarAsKnown(possible, waterG);
  const driedG = awayDriedShare(uptimeMs - wentMs) * (holds.capacityG - holds.dryG);
  // What it had above its capacity runs off beside the scale, all of it or not yet.
  const heldG = Math.min(waterG, holds.capacityG);
  const mostBackG = Math.max(mostG(holds), waterG + LIMITS.matchG);
  const gainedG = (rest: Ledger): number => afterG - foreignG(rest) - heldG;
  const canBe = (rest: Ledger, lessG: number): boolean =>
    gainedG(rest) >= -driedG - lessG && gainedG(rest) <= mostBackG - heldG;
  const asItWent = ledger.filter(({ kind }) => kind !== 'tray');
  const cleared = asItWent.filter(({ kind }) => kind !== 'on');
  const fits = [asItWent, cleared].filter((rest) => canBe(rest, 0));
  const [first, second] = fits;
  if (first !== undefined) {
    const nearer = second !== undefined && Math.abs(gainedG(second)) < Math.abs(gainedG(first));
    return nearer ? second : first;
  }
  const drained = cleared.filter(({ kind }) => kind !== 'water');
  return canBe(drained, pouredG(cleared)) ? drained : null;
}

/** What a tray that is back weighs more than it went: water that it got beside the scale, or a thing that came with it. */
export function withGain(ledger: Ledger, { afterG, waterG, uptimeMs }: Change): Ledger {
  const stepG = afterG - foreignG(ledger) - waterG;
  if (stepG <= LIMITS.matchG) return ledger;
  return [...ledger, { kind: 'water', stepG, afterG, atMs: uptimeMs, found: FOUND_ANYHOW }];
}
