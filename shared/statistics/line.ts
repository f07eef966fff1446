/** A straight line through points of known variance, with what is known of it beforehand. Pure. */

export interface LinePoint {
  readonly x: number;
  readonly y: number;
  readonly variance: number;
}

/** What is known beforehand of a value: infinite `sd` where nothing is. */
export interface Beforehand {
  readonly mean: number;
  readonly sd: number;
}

/** Height at x = 0 and slope, with their variances and covariance. */
export interface Line {
  readonly level: number;
  readonly slope: number;
  readonly levelVar: number;
  readonly slopeVar: number;
  readonly covariance: number;
}

/**
 * Weighted least squares with normal priors of level and slope: the normal distribution of both, given points whose
 * errors are normal (Gelman et al., Bayesian Data Analysis, section 14.8). Without priors it is least squares, and wants
 * two points at different `x`.
 */
export function lineThrough(
  points: readonly LinePoint[],
  level: Beforehand,
  slope: Beforehand,
): Line {
  // Precisions of the two and of their product, and the right-hand side.
  let [ll, ls, ss] = [precisionOf(level), 0, precisionOf(slope)];
  let [rl, rs] = [ll * level.mean, ss * slope.mean];
  for (const { x, y, variance } of points) {
    const weight = 1 / variance;
    ll += weight;
    ls += weight * x;
    ss += weight * x * x;
    rl += weight * y;
    rs += weight * x * y;
  }
  const determinant = ll * ss - ls * ls;
  return {
    level: (ss * rl - ls * rs) / determinant,
    slope: (ll * rs - ls * rl) / determinant,
    levelVar: ss / determinant,
    slopeVar: ll / determinant,
    covariance: -ls / determinant,
  };
}

const precisionOf = ({ sd }: Beforehand): number => 1 / sd ** 2;
