/** When doses were given and what they brought: a tray dries meanwhile, and what was weighed lacks that. Pure. */
import { HOUR_MS } from '../../shared/units/time';
import { between, type NoteOf, notesOf, type Record } from '../explain/record';
import { MODEL_LIMITS as LIMITS } from './limits';

export interface GivenDose {
  /** From the pump's start to its weighing. */
  readonly fromMs: number;
  readonly atMs: number;
  readonly ranMs: number;
  /** What the tray gained, as it was weighed, g; and what it dried by meanwhile, NaN where nobody knows. */
  readonly gainedG: number;
  readonly driedG: number;
}

/** Doses that were seen to come, in order. */
export function givenDoses(record: Record): readonly GivenDose[] {
  const notes = notesOf(record, 'dose');
  return notes
    .filter(({ entry }) => entry.verdict === 'seen' && entry.gainedG > 0 && entry.ranMs > 0)
    .map((note) => {
      const fromMs = startMs(record, note);
      const { atMs, entry } = note;
      const gPerH = dryingBefore(record, notes, fromMs);
      return {
        ...{ fromMs, atMs, ranMs: entry.ranMs, gainedG: entry.gainedG },
        driedG: (gPerH * (atMs - fromMs)) / HOUR_MS,
      };
    });
}

/** It runs, soaks in, and waits for the scale to stand still. */
function startMs(record: Record, { atMs, entry }: NoteOf<'dose'>): number {
  const stage = record.profileAt(atMs)?.stages[entry.stage];
  return atMs - entry.ranMs - (stage?.watering?.soakInS ?? 0) * 1000 - LIMITS.settledMs;
}

/** Pace of the hour before, g/h; NaN where another dose was in it, or too little of it was seen. */
function dryingBefore(record: Record, doses: readonly NoteOf<'dose'>[], fromMs: number): number {
  const before = doses.filter(({ atMs }) => atMs < fromMs).at(-1)?.atMs ?? Number.NEGATIVE_INFINITY;
  const beganMs = Math.max(fromMs - HOUR_MS, before + LIMITS.endClearMs / 2);
  const seen = between(record.readings, beganMs, fromMs).filter(
    ({ note, trayG }) => note.dated.entry.kind === 'reading' && Number.isFinite(trayG),
  );
  const [first] = seen;
  const last = seen.at(-1);
  if (first === undefined || last === undefined || last.atMs - first.atMs < LIMITS.endClearMs)
    return Number.NaN;
  return ((first.trayG - last.trayG) * HOUR_MS) / (last.atMs - first.atMs);
}
