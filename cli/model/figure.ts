/** A figure of a tray with what it lies between. Pure. */
import { normalQuantile } from '../../shared/statistics/normal';

/** What it is, and what it lies between in nine of ten cases. */
export interface Figure {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

export const NINE_OF_TEN_Z = normalQuantile(0.95);

/** A figure that cannot be below 0, of a standard uncertainty of its logarithm. */
export function figureOfLn(value: number, sdLn: number): Figure {
  const spread = Math.exp(NINE_OF_TEN_Z * sdLn);
  return { value, low: value / spread, high: value * spread };
}

export const figureOf = (value: number, sd: number): Figure => ({
  value,
  low: value - NINE_OF_TEN_Z * sd,
  high: value + NINE_OF_TEN_Z * sd,
});
