/** How the root zone was held, and how long the mat was on for it. Pure. */
import { between, type Reading, type Record } from '../explain/record';

/** Root zone and mat over a time; NaN where nothing was read. */
export interface Held {
  readonly coldestC: number;
  readonly warmestC: number;
  /** Share of the readings in the band, 0..1. */
  readonly inBandShare: number;
  /** Longest time outside, ms. */
  readonly longestOutMs: number;
  /** All of the time outside, h. */
  readonly outH: number;
  /** Time that the mat was on, h. */
  readonly matH: number;
}

const HOUR_MS = 3_600_000;
/** Within this of its band a root zone is in it, K: the mat's switching and a probe's error. */
export const IN_BAND_K = 0.5;
/** Readings further apart than this tell nothing of the time between. */
const GAP_MS = 16 * 60_000;

const isRegular = ({ note }: Reading): boolean => note.dated.entry.kind === 'reading';

export function heldOf(record: Record, fromMs: number, toMs: number): Held {
  const readings = between(record.readings, fromMs, toMs).filter(isRegular);
  const banded = readings.filter(
    ({ band, rootZoneC }) => band !== null && Number.isFinite(rootZoneC),
  );
  // Before sowing nothing is held, and a cold tray tells nothing.
  const told = banded.length > 0 ? banded : readings;
  const roots = told.map(({ rootZoneC }) => rootZoneC).filter(Number.isFinite);
  const inside = banded.filter(isInside);
  return {
    coldestC: roots.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY),
    warmestC: roots.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY),
    inBandShare: inside.length / banded.length,
    longestOutMs: longestOut(banded),
    outH: hoursOf(banded, (reading) => (isInside(reading) ? 0 : 1)),
    matH: hoursOf(readings, ({ matDutyShare }) => matDutyShare),
  };
}

function isInside({ band, rootZoneC }: Reading): boolean {
  if (band === null) return false;
  return rootZoneC >= band.lowC - IN_BAND_K && rootZoneC <= band.highC + IN_BAND_K;
}

function longestOut(banded: readonly Reading[]): number {
  let longest = 0;
  let sinceMs: number | null = null;
  for (const reading of banded) {
    if (isInside(reading)) sinceMs = null;
    else {
      sinceMs ??= reading.atMs;
      longest = Math.max(longest, reading.atMs - sinceMs);
    }
  }
  return longest;
}

/** Each reading tells of the time since the one before: hours, of which `shareOf` counts. */
function hoursOf(readings: readonly Reading[], shareOf: (reading: Reading) => number): number {
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
