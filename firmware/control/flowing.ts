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
 * its time, where nothing is known to drain. On a scale that trembles a hand's little change is not told, and seems gentle: in
 * doubt the tray is the drier, so that a rise is a hand's then, and a fall is not.
 */
function hasFlowed(hand: Hand, restG: number, draining: boolean, noisyG: number): boolean {
  const changeG = restG - hand.beforeG;
  const flowedG = changeG - hand.jerkedG;
  const gently =
    flowedG * changeG > 0 && Math.abs(hand.jerkedG) <= LIMITS.jerkedMostShare * Math.abs(flowedG);
  if (!gently) return false;
  if (noisyG > 0) return changeG < 0 || wouldJerk(changeG, noisyG);
  const tookMs = hand.quietSinceMs - hand.sinceMs;
  return tookMs >= LIMITS.flowsMs || (draining && changeG < 0);
}
