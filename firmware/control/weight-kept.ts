/** What of the weight state outlives a start of the board, or another calibration: no hand does. Pure. */
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import { bounded, rescaled, type Step, sumG } from './ledger';
import type { Weighing } from './weighing';
import type { WeightState } from './weight';

/** As it was before a start, at 0 of uptime. */
export function weightBefore(
  { ledger, settledG, hidden }: Pick<WeightState, 'ledger' | 'settledG' | 'hidden'>,
  weighing: Weighing,
): WeightState {
  return { ledger, settledG, hand: null, weighing, hidden };
}

/**
 * What the tray lost or got while nobody weighed it is still to be told: it has not been weighed since a power cut, or is not
 * known yet to stand as it was found after that, or after so long that it may have dried. Nor does a scale that trembles say
 * by the next start which part of a change is no hand's.
 */
export const isUnweighed = ({ weighing, hand }: WeightState): boolean =>
  weighing.is === 'not-since-cut' ||
  (hand !== null && (hand.unseenMs >= LIMITS.lostUnseenMs || hand.trembling !== null));

/** The tray has been weighed since the board started. */
export const isWeighed = ({ weighing }: WeightState): boolean =>
  weighing.is === 'weighed' || weighing.is === 'silent';

/** Since when a hand has the tray off the scale, ms of uptime; null where none has. */
export const wentMsOf = ({ hand }: WeightState): number | null => hand?.wentMs ?? null;

/**
 * What stays known where a hand is cut short, by a start or another calibration: the weight from before it, so that it is
 * noticed again; and a tray that it has off the scale is away, with or without what stood on it, whatever stands there then.
 */
export function cutShort(state: WeightState): Pick<WeightState, 'ledger' | 'settledG'> {
  const { ledger, hand } = state;
  if (hand === null) return state;
  const { beforeG, wentMs: atMs, lastG } = hand;
  if (atMs === null) return { ledger, settledG: beforeG };
  const thingsG = sumG(ledger.filter(({ kind }) => kind === 'on'));
  const afterG = lastG > thingsG / 2 ? thingsG : 0;
  const went: Step = { kind: 'tray', stepG: afterG - beforeG, afterG, atMs };
  return { ledger: bounded([...ledger, went]), settledG: afterG };
}

/** The same weight read by a calibration that calls a mass `factor` times what it was. */
export function rescaledWeight(state: WeightState, factor: number): WeightState {
  const { ledger, settledG } = cutShort(state);
  return {
    ledger: rescaled(ledger, factor),
    settledG: settledG * factor,
    hand: null,
    weighing: state.weighing,
    hidden: state.hidden && { ...state.hidden, mostG: state.hidden.mostG * factor },
  };
}
