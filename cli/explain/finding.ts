/** What a rule of each kind hands back: what happened, and the causes the evidence speaks for, the likeliest first. Pure. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { QuantityKind, UnitSystem } from '../../shared/units';
import type { CauseName } from './causes';
import type { Noted } from './time-line';

/** Causes before what comes of them. */
export const INCIDENT_KINDS = [
  'outage',
  'restarts',
  'supply',
  'lock-out',
  'handling',
  'inflow',
  'doses',
  'drying',
  'dry',
  'cold',
  'warm',
  'alarm',
] as const;
export type IncidentKind = (typeof INCIDENT_KINDS)[number];

/** How a value is shown in the units asked for; `time`: Unix ms or a place on the line of time. */
export interface Show {
  readonly units: UnitSystem;
  readonly value: (kind: QuantityKind, value: number) => string;
  /** Time of day of a place on the line, with its date where that is another day than the last one shown. */
  readonly time: (atMs: number) => string;
  /** Two times; the date once where it is the same. */
  readonly range: (fromMs: number, toMs: number) => string;
  /** The same; of what is `open` only since when. */
  readonly when: (fromMs: number, toMs: number, open: boolean) => string;
  readonly span: (ms: number) => string;
}

export type Sentence = (show: Show) => string;

/** A sentence, and the entries that bear it out. */
export interface Claim {
  readonly says: Sentence;
  readonly by: readonly Noted[];
}

/** A piece of evidence for a cause, or (below 0) against it. */
export interface Piece {
  readonly points: number;
  readonly claim: Claim;
}

/** `good`: the likeliest. `possible`: the journal cannot tell it from that. `poor`: it fits less well. */
export type Fit = 'good' | 'possible' | 'poor';

export interface Cause {
  readonly cause: CauseName;
  readonly fit: Fit;
  readonly points: number;
  readonly speaksFor: readonly Claim[];
  readonly speaksAgainst: readonly Claim[];
}

/** Measures of an incident, for programs and for the order in which incidents are told. */
export interface Measures {
  /** Below or above the band: most, K; and how much of it, degree-hours. */
  readonly worstC?: number;
  readonly degreeHours?: number;
  /** Emergence later by so many days, by thermal time. */
  readonly emergenceDays?: number;
  /** Water that the tray should have had and did not, or lost and should not have, ml or g. */
  readonly missedMl?: number;
  readonly lostG?: number;
  readonly gainedG?: number;
  /** Root zone hotter than the crop bears, h. */
  readonly unbearableH?: number;
}

export interface Finding {
  readonly kind: IncidentKind;
  readonly fromMs: number;
  readonly toMs: number;
  /** How long it was nobody knows. */
  readonly unmeasured?: boolean;
  /** It was still so at the last entry. */
  readonly open: boolean;
  /** What happened, how long and how far. */
  readonly what: Claim;
  readonly causes: readonly Cause[];
  /** What the controller did about it, and what it meant for the crop. */
  readonly did: readonly Claim[];
  readonly crop: readonly Claim[];
  readonly measures: Measures;
  /** Alarms that are told with it, and from which the steps to take come, the first the best. */
  readonly alarms: readonly AlarmName[];
  /** How bad, for the order: about degree-hours, or hours in which nobody looked after the tray. */
  readonly weight: number;
}

/** Further behind the best than this, a cause fits less well. */
const POSSIBLE_WITHIN = 1;

/** One row of a table of causes: what of the facts speaks for it and against it. */
export interface CauseRule<Facts> {
  readonly cause: CauseName;
  readonly weigh: (facts: Facts) => readonly (Piece | null)[];
}

/** Causes for which more speaks than against, the likeliest first. */
export function rank<Facts>(rules: readonly CauseRule<Facts>[], facts: Facts): readonly Cause[] {
  const weighed = rules
    .map(({ cause, weigh }) => {
      const pieces = weigh(facts).filter((piece) => piece !== null);
      return { cause, pieces, points: pieces.reduce((sum, { points }) => sum + points, 0) };
    })
    .filter(({ points }) => points > 0)
    .sort((a, b) => b.points - a.points)
    // That nothing is known is no cause beside one.
    .filter(({ cause }, i) => i === 0 || cause !== 'not-told');
  const best = weighed[0]?.points ?? 0;
  return weighed.map(({ cause, pieces, points }, i) => ({
    cause,
    points,
    fit: i === 0 ? 'good' : best - points < POSSIBLE_WITHIN ? 'possible' : 'poor',
    speaksFor: pieces.filter((piece) => piece.points > 0).map(({ claim }) => claim),
    speaksAgainst: pieces.filter((piece) => piece.points < 0).map(({ claim }) => claim),
  }));
}

/** A piece of evidence where `so` holds, else none. */
export function piece(
  so: boolean,
  points: number,
  says: string | Sentence,
  by: readonly Noted[] = [],
): Piece | null {
  if (!so) return null;
  return { points, claim: claim(says, by) };
}

export const claim = (says: string | Sentence, by: readonly Noted[] = []): Claim => ({
  says: typeof says === 'string' ? () => says : says,
  by,
});
