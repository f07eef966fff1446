/** A tray that stands above what its wool holds, and for how long: water there runs off within an hour. Pure. */
import { MINUTE_MS } from '../../shared/units/time';
import { WEIGHT_LIMITS as LIMITS } from '../limits';
import type { Possible } from './ledger';

const STANDS_MIN = LIMITS.standsMs / MINUTE_MS;

export interface AboveCapacity {
  /** Minutes in a row. */
  readonly minutes: number;
  /** By how much in the first of them, g. */
  readonly firstG: number;
}

export const NOT_ABOVE: AboveCapacity = { minutes: 0, firstG: Number.NaN };

/** From so much above container capacity on a tray shows that something else stands there, g. NaN while unknown. */
export const leastAboveG = ({ capacityG, dryG }: Possible): number =>
  LIMITS.standsShare * (capacityG - dryG);

/** One minute more, `aboveG` above capacity. What runs off or in by half of what stood there begins anew. */
export function nextAbove(
  before: AboveCapacity,
  aboveG: number,
  possible: Possible,
): AboveCapacity {
  if (!(aboveG > leastAboveG(possible))) return NOT_ABOVE;
  const { minutes, firstG } = before;
  const stands = Math.abs(firstG - aboveG) < LIMITS.standsRunsOffShare * firstG;
  return stands ? { minutes: minutes + 1, firstG } : { minutes: 1, firstG: aboveG };
}

/** For so long that no water does. */
export const hasStoodAbove = ({ minutes }: AboveCapacity): boolean => minutes > STANDS_MIN;
