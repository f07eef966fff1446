/** Whether the stage that began lately wants the lid in another place, and nobody has said that it is there. Pure. */
import type { LidPlace } from '../../shared/profile/profile';
import { HOUR_MS } from '../../shared/units/time';
import { lidMarksOf } from '../explain/lids';
import { notesOf, type Record } from '../explain/record';
import { lidText } from '../words/lid';

/** Who moves the lid as a stage begins may mark that first. */
const MARKED_BEFORE_MS = HOUR_MS;
/** Who has not marked it by then does not mark lids: asked for longer, it would be read past. */
const ASKED_MS = 3 * 24 * HOUR_MS;

/** Where the lid is to go, `wanted` by the stage that runs; null where it is there, as far as anybody can tell. */
export function lidToMove(record: Record, wanted: LidPlace, nowMs: number): LidPlace | null {
  const begunMs = notesOf(record, 'stage').at(-1)?.atMs;
  if (begunMs === undefined || nowMs - begunMs > ASKED_MS) return null;
  const had = record.readings.filter(({ atMs }) => atMs < begunMs).at(-1)?.stage?.lid;
  if (had === undefined || had === wanted) return null;
  const isMarked = lidMarksOf(record.notes).some(({ atMs }) => atMs >= begunMs - MARKED_BEFORE_MS);
  return isMarked ? null : wanted;
}

/** `lid propped, then `trayward mark lid propped``. */
export const lidToMoveText = (place: LidPlace): string =>
  `lid ${lidText(place)}, then \`trayward mark lid ${lidText(place)}\``;
