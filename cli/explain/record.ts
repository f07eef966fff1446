/** What a journal holds, made ready for the rules: readings with the band they were held to, starts, and what is missing. Pure. */
import { bandNow } from '../../firmware/control/band';
import { RECORD_LIMITS } from '../../firmware/limits';
import type { JournalEntry, JournalKind } from '../../shared/journal/kinds';
import type { Band, Profile, Stage } from '../../shared/profile/profile';
import { MINUTE_MS, minuteOfDay } from '../../shared/units/time';
import type { DatedEntry } from '../journal/dating';
import type { KnownProfiles } from '../journal/profiles';
import { type Lid, lidsAlong } from './lids';
import { type Boot, bootsOf, type Noted } from './time-line';

export type EntryOf<Kind extends JournalKind> = Extract<JournalEntry, { readonly kind: Kind }>;
type Sampled = EntryOf<'reading'> | EntryOf<'trace'>;

/** A reading, or one of the dense ones round an alarm. */
export interface Reading extends Omit<Sampled, 'kind' | 'stage'> {
  readonly atMs: number;
  readonly stage: Stage | null;
  readonly stageIndex: number;
  /** What the root zone was held to; null before sowing, and while the profile is not known. */
  readonly band: Band | null;
  /** Null before sowing, and while the profile is not known. */
  readonly lid: Lid | null;
  readonly note: Noted;
}

/** A note whose entry is of one kind. */
export interface NoteOf<Kind extends JournalKind> extends Noted {
  readonly entry: EntryOf<Kind>;
}

/** A time without any entry though there should be readings. */
export interface Gap {
  readonly fromMs: number;
  readonly toMs: number;
}

export interface Record {
  readonly boots: readonly Boot[];
  readonly notes: readonly Noted[];
  readonly readings: readonly Reading[];
  /** Times without readings while the board ran: entries that were lost. */
  readonly gaps: readonly Gap[];
  /** Numbers in the sequence for which there is no entry. */
  readonly missing: number;
  /** Some reading's profile is not kept: bands and lids are not known there. */
  readonly profileUnknown: boolean;
  readonly fromMs: number;
  readonly toMs: number;
  readonly profileAt: (atMs: number) => Profile | null;
}

/** A reading that is so much late is missing. */
const LATE_MS = 2 * RECORD_LIMITS.readingMs + MINUTE_MS;

/** The record of one life of a journal; its entries in the order of their sequence. */
export function recordOf(entries: readonly DatedEntry[], profiles: KnownProfiles): Record {
  const boots = bootsOf(entries);
  const notes = boots.flatMap((boot) => boot.notes);
  const profileAt = profilesOver(notes, profiles);
  const lidAt = lidsAlong(notes);
  const readings = notes.flatMap((note) => readingOf(note, profileAt, lidAt));
  return {
    boots,
    notes,
    readings,
    gaps: boots.flatMap(gapsIn),
    missing: missingIn(entries),
    profileUnknown: readings.some(
      ({ stage, stageIndex }) => stage === null && stageIndex < NO_STAGE_FROM,
    ),
    fromMs: notes[0]?.atMs ?? 0,
    toMs: notes.at(-1)?.atMs ?? 0,
    profileAt,
  };
}

/** Stage numbers from here on mean that none runs. */
const NO_STAGE_FROM = 255;

/** Notes of one kind, in order. */
export function notesOf<Kind extends JournalKind>(
  { notes }: Pick<Record, 'notes'>,
  kind: Kind,
): readonly NoteOf<Kind>[] {
  const found: NoteOf<Kind>[] = [];
  for (const note of notes) {
    const { entry } = note.dated;
    if (isOf(entry, kind)) found.push({ ...note, entry });
  }
  return found;
}

const isOf = <Kind extends JournalKind>(entry: JournalEntry, kind: Kind): entry is EntryOf<Kind> =>
  entry.kind === kind;

/** Those of `list`, which is in order of time, from `fromMs` up to `toMs`. */
export function between<T extends { readonly atMs: number }>(
  list: readonly T[],
  fromMs: number,
  toMs: number,
): readonly T[] {
  return list.slice(firstAt(list, fromMs), firstAt(list, toMs + 1));
}

/** Index of the first one at `atMs` or later. */
export function firstAt(list: readonly { readonly atMs: number }[], atMs: number): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((list[middle]?.atMs ?? Number.POSITIVE_INFINITY) < atMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

function readingOf(
  note: Noted,
  profileAt: (atMs: number) => Profile | null,
  lidAt: ReturnType<typeof lidsAlong>,
): readonly Reading[] {
  const { entry } = note.dated;
  if (entry.kind !== 'reading' && entry.kind !== 'trace') {
    lidAt(note, null);
    return [];
  }
  const profile = profileAt(note.atMs);
  const stage = profile?.stages[entry.stage] ?? null;
  const { kind, stage: stageIndex, ...values } = entry;
  const band = bandNow(stage, profile?.night ?? null, minuteOf(note, profile));
  const lid = lidAt(note, stage);
  return [{ ...values, atMs: note.atMs, stageIndex, stage, band, lid, note }];
}

/** Minute of the day as the board had it; null while its clock or its profile are not known. */
export function minuteOf(
  { unixMs }: Pick<Noted, 'unixMs'>,
  profile: Profile | null,
): number | null {
  if (unixMs === null || profile === null) return null;
  return Math.floor(minuteOfDay(unixMs, profile.utcOffsetMin));
}

/** Which profile held when: each start tells its own, and so does each load. */
function profilesOver(
  notes: readonly Noted[],
  { byId, activeId }: KnownProfiles,
): (atMs: number) => Profile | null {
  const changes: { readonly atMs: number; readonly id: number }[] = [];
  for (const { atMs, dated } of notes) {
    const { entry } = dated;
    if (entry.kind === 'boot') changes.push({ atMs, id: entry.profileId });
    if (entry.kind === 'profile' && entry.action === 'loaded')
      changes.push({ atMs, id: entry.profileId });
  }
  // Before the first word of it: a start found what was there before, a load did not.
  const first = notes.find(
    ({ dated }) => dated.entry.kind === 'boot' || dated.entry.kind === 'profile',
  );
  const beforeId =
    first === undefined
      ? activeId
      : first.dated.entry.kind === 'boot'
        ? first.dated.entry.profileId
        : 0;
  return (atMs) => {
    const id = changes[firstAt(changes, atMs + 1) - 1]?.id ?? beforeId;
    return id === null ? null : (byId.get(id) ?? null);
  };
}

function gapsIn({ notes }: Boot): readonly Gap[] {
  const gaps: Gap[] = [];
  const read = notes.filter(({ dated }) => dated.entry.kind === 'reading');
  for (const [i, { atMs }] of read.entries()) {
    const next = read[i + 1];
    if (next !== undefined && next.atMs - atMs > LATE_MS)
      gaps.push({ fromMs: atMs, toMs: next.atMs });
  }
  return gaps;
}

function missingIn(entries: readonly DatedEntry[]): number {
  const [first] = entries;
  const last = entries.at(-1);
  if (first === undefined || last === undefined) return 0;
  return Math.max(0, last.entry.sequence - first.entry.sequence + 1 - entries.length);
}
