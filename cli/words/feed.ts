/** The feed in a grower's words: what is in the reservoir, what the stage wants, and when the plants get it. */
import type { Status } from '../../shared/link/status';
import { formatQuantity, type UnitSystem } from '../../shared/units';

type Told = Pick<Status, 'stage' | 'water'>;

/** What is in the reservoir, as far as somebody has said so; as a fact by itself. */
export const reservoirText = (told: Told, units: UnitSystem): string =>
  told.water.reservoirLeftMl === null ? 'not told' : `${holdsText(told, units)} left`;

/** The same inside a sentence. */
export function holdsText({ water }: Told, units: UnitSystem): string {
  const { reservoirLeftMl, reservoirEc } = water;
  if (reservoirLeftMl === null) return 'nobody knows how much';
  const ec = reservoirEc === null ? '' : ` of ${formatQuantity('ec', reservoirEc, units)}`;
  return `${formatQuantity('volume', reservoirLeftMl, units)}${ec}`;
}

/** What the stage wants, and what comes of it where the reservoir holds other feed; empty when it wants none. */
export function feedWantedText(told: Told, units: UnitSystem): string {
  const { stage, water } = told;
  if (stage === null || stage.feedEc === 0) return '';
  const wants = `stage wants ${formatQuantity('ec', stage.feedEc, units)}`;
  return water.otherFeedWaitS === null ? wants : `${wants}: ${otherFeedText(told, units)}`;
}

/** What the controller does about feed of another strength: first it waits for the right one. */
export function otherFeedText({ water }: Told, units: UnitSystem): string {
  const leftS = water.otherFeedWaitS ?? 0;
  return leftS > 0
    ? `doses wait for it, ${formatQuantity('duration', leftS, units)} more at most`
    : 'doses go on with what there is';
}

/** When the feed comes that a stage opens with; empty when no time is set for one. */
export function feedAheadText({ water }: Told, units: UnitSystem): string {
  const { feedAhead, plantsMl } = water;
  if (feedAhead === null) return '';
  const { from, inS } = feedAhead;
  const feed = plantsMl > 0 ? 'next feed' : 'first feed';
  if (from === 'now' && inS === 0) return `${feed} due now`;
  const time = formatQuantity('duration', inS, units);
  return from === 'emergence'
    ? `${feed} ${time} after emergence at the latest`
    : `${feed} in ${time} at the latest`;
}
