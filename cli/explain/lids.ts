/** Where the lid was: as the grower marked it, else as the stage wanted it. Pure. */
import type { LidPlace, Stage } from '../../shared/profile/profile';
import { wholeNotes } from '../journal/notes';
import { lidOfNote } from '../words/lid';
import type { Noted } from './time-line';

export interface Lid {
  readonly place: LidPlace;
  /** Somebody said so; else it is what the stage wants. */
  readonly marked: boolean;
}

/** Places that were marked, by the sequence of the note. */
function markedIn(notes: readonly Noted[]): ReadonlyMap<number, LidPlace> {
  // A long note may end in words that would be a mark by themselves.
  return new Map(
    wholeNotes(notes.map(({ dated }) => dated)).flatMap(({ entry }) => {
      const place = entry.kind === 'note' ? lidOfNote(entry.text) : null;
      return place === null ? [] : [[entry.sequence, place] as const];
    }),
  );
}

export interface LidMark {
  readonly atMs: number;
  readonly place: LidPlace;
}

/** Each time that somebody said where the lid is. */
export function lidMarksOf(notes: readonly Noted[]): readonly LidMark[] {
  const marks = markedIn(notes);
  return notes.flatMap(({ atMs, dated }) => {
    const place = marks.get(dated.entry.sequence);
    return place === undefined ? [] : [{ atMs, place }];
  });
}

/**
 * For notes in order, one after the other, with the stage that runs then: where the lid is. A mark holds until the next
 * one, or until a stage begins that wants the lid in another place: then the grower is told to move it.
 */
export function lidsAlong(
  notes: readonly Noted[],
): (note: Noted, stage: Stage | null) => Lid | null {
  const marks = markedIn(notes);
  let marked: LidPlace | null = null;
  let wanted: LidPlace | null = null;
  return ({ dated }, stage) => {
    marked = marks.get(dated.entry.sequence) ?? marked;
    if (stage === null) return null;
    if (wanted !== null && wanted !== stage.lid) marked = null;
    wanted = stage.lid;
    return { place: marked ?? stage.lid, marked: marked !== null };
  };
}
