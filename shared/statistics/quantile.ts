/** Quantiles of a few values. Pure. */

/**
 * The value below which a share `p` (0..1) of `sorted` lies, the least first: definition 7 of R. J. Hyndman and Y. Fan,
 * Sample quantiles in statistical packages, The American Statistician 50(4), 1996, p. 361-365, which takes the least
 * for 0, the most for 1, and goes straight from value to value between them. NaN of no values.
 */
export function quantileOf(sorted: readonly number[], p: number): number {
  const place = (sorted.length - 1) * p;
  const below = Math.floor(place);
  const low = sorted[below] ?? Number.NaN;
  const high = sorted[below + 1] ?? low;
  return low + (place - below) * (high - low);
}
