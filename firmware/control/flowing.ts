/** Water that ran in or off while hands were there, or seemed to be: no part of what they did. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import type { Hand } from './handling';
import { wouldJerk } from './jerks';
import { flowedIn, type Ledger } from './ledger';
import { isDraining, withDrained } from './ledger-evidence';
import type { WeightInput } from './weight';

/** The steps after a hand, where what moved the weight up to `restG` was water that flowed; null where it was the hand. */
export function withFlow(
  ledger: Ledger,
  hand: Hand,
  restG: number,
  input: WeightInput,
): Ledger | null {
  const { beforeG, sinceMs } = hand;
  const draining = isDraining(ledger, sinceMs);
  if (!hasFlowed(hand, restG, draining, input.noisyG)) return null;
  if (restG > beforeG) return flowedIn(ledger, restG - beforeG, restG, input.uptimeMs);
  return draining ? withDrained(ledger, restG, input, input.uptimeMs, sinceMs) : ledger;
}

/**
 * The change up to `restG` came gently, as water runs in and out, whatever hands did to the tray meanwhile; and it took
 * its time, where nothing is known to drain, or is more than would have come gently from a hand on a scale that trembles.
 */
function hasFlowed(hand: Hand, restG: number, draining: boolean, noisyG: number): boolean {
  const changeG = restG - hand.beforeG;
  const flowedG = changeG - hand.jerkedG;
  const gently =
    flowedG * changeG > 0 && Math.abs(hand.jerkedG) <= LIMITS.jerkedMostShare * Math.abs(flowedG);
  const tookTime =
    noisyG > 0 ? wouldJerk(changeG, noisyG) : hand.quietSinceMs - hand.sinceMs >= LIMITS.flowsMs;
  return gently && (tookTime || (draining && changeG < 0));
}
