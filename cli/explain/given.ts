/** Water and salts that the plants were given, by the doses of the journal. Pure. */
import { saltsMg } from '../../firmware/control/feed';
import type { DoseReason } from '../../shared/journal/kinds';
import { mlFromG } from '../../shared/physics/water';
import { DAY_MS } from '../../shared/units/time';
import { DOSED_BY_HAND } from './doses';
import { firstAt, type NoteOf, notesOf, type Record } from './record';

/** One dose as it reached the tray. */
export interface Given {
  readonly atMs: number;
  readonly ml: number;
  /** The scale could not tell: it is counted as it was planned. */
  readonly unweighed: boolean;
  /** Of each plant; NaN where nobody knows how many pieces there are. */
  readonly eachMl: number;
  readonly eachSaltsMg: number;
}

/** Every dose that the controller gave, in order. */
export function givenOf(record: Record): readonly Given[] {
  const refills = notesOf(record, 'refill');
  const piecesAt = piecesOver(record);
  return notesOf(record, 'dose')
    .filter(({ entry }) => !DOSED_BY_HAND.includes(entry.reason))
    .map((note) => {
      const { atMs, entry } = note;
      const { ml, unweighed } = cameOf(note);
      const marked = refills[firstAt(refills, atMs + 1) - 1]?.entry.feedEc ?? Number.NaN;
      // As the controller has it: unknown feed is taken for the one that the stage wants.
      const wanted = record.profileAt(atMs)?.stages[entry.stage]?.feedEc ?? Number.NaN;
      const eachMl = ml / piecesAt(atMs, entry.stage);
      const ec = Number.isNaN(marked) ? wanted : marked;
      return { atMs, ml, unweighed, eachMl, eachSaltsMg: saltsMg(eachMl, ec) };
    });
}

/** Those of which anything came: what every count and sum of doses goes by. */
export const arrivedOf = (record: Record): readonly Given[] =>
  givenOf(record).filter(({ ml }) => ml > 0);

function cameOf({ entry }: NoteOf<'dose'>): { ml: number; unweighed: boolean } {
  const { verdict, gainedG, plannedMl } = entry;
  const weighed = verdict === 'seen' || verdict === 'not-seen' || verdict === 'too-large';
  if (weighed && Number.isFinite(gainedG)) {
    return { ml: Math.max(0, mlFromG(gainedG)), unweighed: false };
  }
  return { ml: plannedMl, unweighed: true };
}

/** Pieces on the scale: those of the stage's medium, or as many as the grower left there. */
function piecesOver(record: Record): (atMs: number, stage: number) => number {
  const moved = notesOf(record, 'mark').filter(
    ({ entry }) => entry.pieces > 0 || entry.mark === 'transplanted' || entry.mark === 'sown',
  );
  return (atMs, stage) => {
    const left = moved[firstAt(moved, atMs + 1) - 1]?.entry.pieces ?? 0;
    if (left > 0) return left;
    const profile = record.profileAt(atMs);
    return profile?.media[profile.stages[stage]?.medium ?? -1]?.pieces ?? Number.NaN;
  };
}

/** The reservoir by account of what was filled in and pumped since. */
export interface Reservoir {
  readonly leftMl: number;
  /** Days that it lasts at the pace of the last few; null where no dose of them replaced what had dried. */
  readonly days: number | null;
}

/** Days over which the use is reckoned: one is chance, a week is another size of plants. */
const PACE_DAYS = 3;

/** Doses that replace what left the tray. */
const DAILY_REASONS: readonly DoseReason[] = ['dry-back', 'rescue'];

/** What is left at `atMs`; null until the grower has said what was filled in. */
export function reservoirAt(record: Record, atMs: number): Reservoir | null {
  const refills = notesOf(record, 'refill').filter((one) => one.atMs <= atMs);
  const last = refills.at(-1);
  if (last === undefined || Number.isNaN(last.entry.volumeMl)) return null;
  const dosesSince = (fromMs: number) =>
    notesOf(record, 'dose').filter((dose) => dose.atMs > fromMs && dose.atMs <= atMs);
  const takenIn = (doses: readonly NoteOf<'dose'>[]) =>
    doses.reduce((sum, dose) => sum + takenMl(record, dose), 0);
  const leftMl = Math.max(0, last.entry.volumeMl - takenIn(dosesSince(last.atMs)));
  // What a stage opens with, and what ran by hand, does not come again every few days.
  const drunk = dosesSince(atMs - PACE_DAYS * DAY_MS).filter(({ entry }) =>
    DAILY_REASONS.includes(entry.reason),
  );
  const paceMl = takenIn(drunk) / PACE_DAYS;
  return { leftMl, days: paceMl > 0 ? leftMl / paceMl : null };
}

/** A run of the pump by hand is told by its time alone. */
function takenMl(record: Record, { atMs, entry }: NoteOf<'dose'>): number {
  if (!DOSED_BY_HAND.includes(entry.reason)) return entry.plannedMl;
  const calibrations = notesOf(record, 'calibration').filter((one) => one.atMs <= atMs);
  const pump = calibrations
    .flatMap(({ entry: one }) => (one.target === 'pump' ? [one] : []))
    .at(-1);
  const mlPerS = pump?.mlPerS ?? Number.NaN;
  return Number.isFinite(mlPerS) ? (entry.ranMs / 1000) * mlPerS : 0;
}
