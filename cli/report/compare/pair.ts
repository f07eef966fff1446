/** What is drawn of two seasons, as plain data: the page carries it, and draws another stretch of it when asked. */
import type { Plot } from '../plot/model';

export interface DrawnSide {
  readonly plot: Plot;
  /** Minute of its plot in which it was sown. */
  readonly sownMin: number;
  readonly days: number;
  /** What each plant had been given up to a day from sowing, dose by dose. */
  readonly fed: readonly { readonly day: number; readonly eachMl: number }[];
}

export interface Pair {
  readonly sides: readonly [DrawnSide, DrawnSide];
  /** Days from sowing that both have. */
  readonly commonDays: number;
}

/** What the two are called, beside their names. */
export const LETTERS = ['A', 'B'] as const;
