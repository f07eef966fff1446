/** How the root zone was held, and how long the mat was on for it. Pure. */
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { between, type Reading } from '../explain/record';
import type { RootPoint } from '../explain/root-zone';
import type { Stand } from '../explain/stand';

/** Root zone and mat over a time; NaN where nothing was read. */
export interface Held {
  readonly coldestC: number;
  readonly warmestC: number;
  /** Share of the readings in the band, 0..1. */
  readonly inBandShare: number;
  /** All of the time outside, h. */
  readonly outH: number;
  /** Time that the mat was on, h. */
  readonly matH: number;
}

/** Within this of its band a root zone is in it, K: the mat's switching and a probe's error. */
export const IN_BAND_K = 0.5;
/** Readings further apart than this tell nothing of the time between. */
const GAP_MS = 16 * MINUTE_MS;

const isRegular = ({ note }: Reading): boolean => note.dated.entry.kind === 'reading';

/** By the root zone as far as it is known: what a loose probe read in the room's air is none of it. */
export function heldOf({ record, points }: Stand, fromMs: number, toMs: number): Held {
  const readings = between(record.readings, fromMs, toMs).filter(isRegular);
  const known = between(points, fromMs, toMs).filter(({ reading }) => isRegular(reading));
  const banded = known.filter(({ reading }) => reading.band !== null);
  // Before sowing nothing is held, and a cold tray tells nothing.
  const roots = (banded.length > 0 ? banded : known).map(({ celsius }) => celsius);
  const inside = banded.filter(isInside);
  return {
    coldestC: roots.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY),
    warmestC: roots.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY),
    inBandShare: inside.length / banded.length,
    outH: hoursOf(banded, (point) => (isInside(point) ? 0 : 1)),
    matH: hoursOf(readings, ({ matDutyShare }) => matDutyShare),
  };
}

function isInside({ celsius, reading: { band } }: RootPoint): boolean {
  if (band === null) return false;
  return celsius >= band.lowC - IN_BAND_K && celsius <= band.highC + IN_BAND_K;
}

/** Each reading tells of the time since the one before: hours, of which `shareOf` counts. */
function hoursOf<T extends { readonly atMs: number }>(
  readings: readonly T[],
  shareOf: (reading: T) => number,
): number {
  let hours = 0;
  let beforeMs: number | null = null;
  for (const reading of readings) {
    const sinceMs = beforeMs === null ? 0 : reading.atMs - beforeMs;
    const share = shareOf(reading);
    if (sinceMs > 0 && sinceMs <= GAP_MS && Number.isFinite(share))
      hours += (share * sinceMs) / HOUR_MS;
    beforeMs = reading.atMs;
  }
  return hours;
}
