/** From when to when each alarm held, by its changes in the journal. Pure. */
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import { MINUTE_MS } from '../../shared/units/time';
import { type NoteOf, notesOf, type Record } from './record';

/** One time that an alarm stood. */
export interface AlarmSpan {
  readonly alarm: AlarmName;
  readonly fromMs: number;
  /** When what it tells of ended; null while it was so at the last entry, and of a single happening. */
  readonly endedMs: number | null;
  /** Until when it held something off, or stood; the last entry of the record while it still does. */
  readonly toMs: number;
  readonly standing: boolean;
  readonly raised: NoteOf<'alarm'>;
  readonly notes: readonly NoteOf<'alarm'>[];
}

/** Raised again so soon after a start it is the same one (the guard's own time). */
const AGAIN_MS = 5 * MINUTE_MS;

interface Open {
  readonly raised: NoteOf<'alarm'>;
  readonly notes: NoteOf<'alarm'>[];
  endedMs: number | null;
  /** It is over unless it is found again soon: the board started anew. */
  doubtFromMs: number | null;
}

/** Every span of every alarm, in order of their beginning. */
export function alarmSpans(record: Record): readonly AlarmSpan[] {
  const open = new Map<AlarmName, Open>();
  const spans: AlarmSpan[] = [];
  const close = (alarm: AlarmName, at: number, standing: boolean): void => {
    const one = open.get(alarm);
    if (one === undefined) return;
    open.delete(alarm);
    const { raised, notes, endedMs } = one;
    spans.push({ alarm, fromMs: raised.atMs, endedMs, toMs: at, standing, raised, notes });
  };
  for (const note of eventsOf(record)) {
    if (note.is === 'start') {
      for (const [alarm, one] of open) {
        if (!ALARMS[alarm].latched && one.endedMs === null) one.doubtFromMs ??= note.atMs;
      }
      continue;
    }
    const { alarm, change } = note.note.entry;
    const one = open.get(alarm);
    if (change === 'raised') {
      const isSame = one !== undefined && note.atMs - (one.doubtFromMs ?? note.atMs) <= AGAIN_MS;
      if (one !== undefined && !isSame) close(alarm, one.doubtFromMs ?? note.atMs, false);
      const kept = open.get(alarm);
      if (kept === undefined)
        open.set(alarm, {
          raised: note.note,
          notes: [note.note],
          endedMs: null,
          doubtFromMs: null,
        });
      else {
        kept.notes.push(note.note);
        kept.endedMs = null;
        kept.doubtFromMs = null;
      }
      continue;
    }
    if (one === undefined) continue;
    one.notes.push(note.note);
    if (change === 'returned') {
      one.endedMs = note.atMs;
      if (!ALARMS[alarm].latched) close(alarm, note.atMs, false);
    } else if (change === 'cleared') close(alarm, note.atMs, false);
  }
  for (const [alarm, { doubtFromMs }] of [...open])
    close(alarm, doubtFromMs ?? record.toMs, doubtFromMs === null);
  return spans.sort((a, b) => a.fromMs - b.fromMs);
}

type Event =
  | { readonly is: 'start'; readonly atMs: number }
  | { readonly is: 'alarm'; readonly atMs: number; readonly note: NoteOf<'alarm'> };

function eventsOf(record: Record): readonly Event[] {
  const starts = record.boots.map(({ fromMs }): Event => ({ is: 'start', atMs: fromMs }));
  const alarms = notesOf(record, 'alarm').map(
    (note): Event => ({ is: 'alarm', atMs: note.atMs, note }),
  );
  // A start comes before what the same moment brings.
  return [...starts, ...alarms].sort((a, b) => a.atMs - b.atMs);
}

/** Whether two stretches of time touch. */
export const overlaps = (
  a: { readonly fromMs: number; readonly toMs: number },
  b: { readonly fromMs: number; readonly toMs: number },
): boolean => a.fromMs <= b.toMs && b.fromMs <= a.toMs;
