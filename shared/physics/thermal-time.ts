/**
 * Thermal time: development runs at a pace that grows in a straight line above a base temperature, so that
 * days x (temperature - base) is the same at every temperature (Bierhuizen and Wagenvoort 1974, Scientia
 * Horticulturae 2:213, for vegetable seed). Holds from the base up to the temperature of the fastest pace.
 */

/** Days that something took at a steady temperature. */
export interface TimedAt {
  readonly atC: number;
  readonly days: number;
}

export interface ThermalTime {
  /** Where the line of 1/days crosses zero. A long range bends it, and may put it below freezing. */
  readonly baseC: number;
  /** Degree-days above the base, C d. */
  readonly sumCDays: number;
  /** The temperatures it was fitted over: it says nothing beyond. */
  readonly fromC: number;
  readonly toC: number;
  /** Share of the scatter of 1/days that the line explains, 0..1. */
  readonly r2: number;
}

/** A line through two points is exact and proves nothing. */
const FEWEST_POINTS = 3;

/**
 * Least squares of 1/days on temperature, from the coldest point up to the coldest of the fastest
 * ones; null for fewer than three points there, or a pace that does not rise.
 */
export function thermalTimeOf(points: readonly TimedAt[]): ThermalTime | null {
  const sorted = [...points].sort((a, b) => a.atC - b.atC);
  const fastest = Math.min(...sorted.map(({ days }) => days));
  const last = sorted.findIndex(({ days }) => days === fastest);
  const rising = sorted.slice(0, last + 1);
  const [first, end] = [rising[0], rising.at(-1)];
  if (rising.length < FEWEST_POINTS || first === undefined || end === undefined) return null;
  const meanC = mean(rising.map(({ atC }) => atC));
  const meanRate = mean(rising.map(({ days }) => 1 / days));
  const sum = (of: (dC: number, dRate: number) => number): number =>
    rising.reduce((total, { atC, days }) => total + of(atC - meanC, 1 / days - meanRate), 0);
  const slope = sum((dC, dRate) => dC * dRate) / sum((dC) => dC * dC);
  if (!(slope > 0)) return null;
  const left = sum((dC, dRate) => (dRate - slope * dC) ** 2);
  return {
    baseC: meanC - meanRate / slope,
    sumCDays: 1 / slope,
    fromC: first.atC,
    toC: end.atC,
    r2: 1 - left / sum((_, dRate) => dRate * dRate),
  };
}

/** Days at a steady `atC`; null where the fit does not reach. */
export function thermalTimeDays(fit: ThermalTime, atC: number): number | null {
  return atC >= fit.fromC && atC <= fit.toC && atC > fit.baseC
    ? fit.sumCDays / (atC - fit.baseC)
    : null;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
