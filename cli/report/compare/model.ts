/** Two seasons side by side, as plain data. */
import type { UnitSystem } from '../../../shared/units';
import type { Course } from '../course';
import type { Report } from '../model';
import type { DrawnSide, Pair } from './pair';

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

/** What is drawn of them. */
export const pairOf = ({ sides: [a, b], commonDays }: Comparison): Pair => ({
  sides: [drawnOf(a), drawnOf(b)],
  commonDays,
});

const drawnOf = ({ report: { plot }, sownMin, course: { days, fed } }: Side): DrawnSide => ({
  plot,
  sownMin,
  days,
  // What nobody knows is not drawn.
  fed: fed.filter(({ eachMl }) => Number.isFinite(eachMl)),
});

/** A place in the page that belongs to one of them. */
export const placeOf = (letter: string, id: string): string => `${letter.toLowerCase()}-${id}`;
