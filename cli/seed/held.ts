/** What the seed on a tray came up in, as the tray's own journal tells, so far as it was pulled. */
import { RECORD_LIMITS } from '../../firmware/limits';
import type { Crop } from '../../shared/crops/library/crop';
import { cropOrNull } from '../../shared/crops/library/library';
import { between, recordOf } from '../explain/record';
import { dateEntries } from '../journal/dating';
import { keptProfiles } from '../journal/profiles';
import { readStore } from '../journal/store';

export interface HeldSeed {
  readonly crop: Crop;
  /** Mean of the root zone from sowing to the last count. */
  readonly atC: number;
}

/** With fewer of its readings a time is not known. */
const KNOWN_SHARE = 0.5;

/**
 * Crop of the profile that ran, and the root zone, of the sowing on `boardId`; null where the journal that is kept in `store`
 * does not have most of that time, or the crop is not in the library.
 */
export function heldSeed(
  store: string,
  boardId: string,
  sownMs: number,
  untilMs: number,
): HeldSeed | null {
  const profiles = { byId: keptProfiles(store, boardId), activeId: null };
  const records = readStore(store, boardId).map(({ entries, life }) =>
    recordOf(dateEntries(entries, life), profiles),
  );
  const readings = records
    .flatMap((record) => between(record.readings, sownMs, untilMs))
    .filter(
      ({ note, rootZoneC }) => note.dated.entry.kind === 'reading' && Number.isFinite(rootZoneC),
    );
  if (readings.length * RECORD_LIMITS.readingMs < KNOWN_SHARE * (untilMs - sownMs)) return null;
  const crop = cropOrNull(records.at(-1)?.profileAt(untilMs)?.crop ?? '');
  const sumC = readings.reduce((sum, { rootZoneC }) => sum + rootZoneC, 0);
  return crop === null ? null : { crop, atC: sumC / readings.length };
}
