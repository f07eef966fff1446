/** Two seasons side by side, as plain data. */
import type { UnitSystem } from '../../../shared/units';
import type { Course } from '../course';
import type { Report } from '../model';

/** What is compared, as programs know it; the name has the unit. */
export const COMPARED = [
  'emergedDay',
  'firstFeedDay',
  'transplantedDay',
  'days',
  'doses',
  'waterMl',
  'waterEachMl',
  'saltsEachMg',
  'outOfBandH',
  'matH',
  'alarms',
] as const;
export type Compared = (typeof COMPARED)[number];

/** One line of the table; null where it has not come to that, or nobody knows. */
export interface Difference {
  readonly what: Compared;
  readonly a: number | null;
  readonly b: number | null;
  /** B less A. */
  readonly difference: number | null;
}

export interface Side {
  /** How a grower names it on the command line. */
  readonly name: string;
  readonly report: Report;
  readonly course: Course;
  /** Minute of its plot in which it was sown. */
  readonly sownMin: number;
}

export interface Comparison {
  readonly sides: readonly [Side, Side];
  /** What adds up over time is compared over so many days from sowing, which both have. */
  readonly commonDays: number;
  readonly differences: readonly Difference[];
  readonly units: UnitSystem;
}

/** What the two are called, beside their names. */
export const LETTERS = ['A', 'B'] as const;

/** A place in the page that belongs to one of them. */
export const placeOf = (letter: string, id: string): string => `${letter.toLowerCase()}-${id}`;
