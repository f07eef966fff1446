/** A tray's heat balance fitted to its readings: what the mat gives, and what tray and lid lose. Pure. */
import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { inverse, Matrix } from 'ml-matrix';
import { MODEL_LIMITS as LIMITS } from './limits';

/** One reading: hours since the first, root zone, and the share of the time since the one before that the mat was on. */
export interface HeatSample {
  readonly atH: number;
  readonly rootZoneC: number;
  readonly dutyShare: number;
}

/** A value and its standard uncertainty. */
export interface Estimate {
  readonly value: number;
  readonly sd: number;
}

export interface HeatFit {
  /** Rise of the root zone with the mat full on and nothing lost, K/h. */
  readonly riseKPerH: Estimate;
  /** What it falls by for each kelvin that it is warmer than what surrounds it, K/h. */
  readonly lossPerH: Estimate;
  /**
   * Surroundings as the tray feels them, C: the room, with what a lamp warms and evaporation cools. The mean of them over
   * these times, in hours as the samples have them; over all of it without any.
   */
  readonly aroundC: (atH?: readonly number[]) => Estimate;
  /** Of what the fit leaves over, K. */
  readonly residualK: number;
}

/**
 * Where each parameter is: start; logarithms of rise, loss, and the lag of mat and probe; then at its knots how fast the
 * root zone cools, mat off, at its mean temperature. That, and not the room, is what wanders: a room that is held to wander
 * little would be bought with too large a loss, since cooling is the product of both.
 */
const [START, LN_RISE, LN_LOSS, LN_LAG, COOLING] = [0, 1, 2, 3, 4] as const;

/**
 * C dT/dt = P u - UA (T - Troom), the same as of `shared/physics/thermal.ts`, in a room that wanders from hour to
 * hour: least squares by Levenberg and Marquardt, the wandering weighed as such. Null where it does not settle.
 */
export function fitHeat(samples: readonly HeatSample[]): HeatFit | null {
  const last = samples.at(-1);
  const [first] = samples;
  if (first === undefined || last === undefined) return null;
  const knots = 1 + Math.max(1, Math.round((last.atH - first.atH) / LIMITS.knotH));
  const meanC = mean(samples.map(({ rootZoneC }) => rootZoneC));
  const frame = { samples, steps: stepsOf(samples), knots, meanC };
  const course = (parameters: readonly number[]): readonly number[] => [
    ...courseOf(frame, parameters).map((celsius) => celsius / LIMITS.readingK),
    ...wanderingOf(parameters),
  ];
  const seen = [
    ...samples.map(({ rootZoneC }) => rootZoneC / LIMITS.readingK),
    ...wanderingOf(new Array<number>(COOLING + knots).fill(0)),
  ];
  const { parameterValues } = levenbergMarquardt(
    { x: seen.map((_, i) => i), y: seen },
    (parameters) => {
      const values = course(parameters);
      return (i) => values[i] ?? Number.NaN;
    },
    {
      initialValues: startOf(samples, knots),
      gradientDifference: STEP,
      centralDifference: true,
      damping: 1e-3,
      maxIterations: LIMITS.iterations,
      errorTolerance: 1e-9,
      improvementThreshold: 1e-6,
    },
  );
  return resultOf(seen, course, parameterValues, frame);
}
const STEP = 1e-4;

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

function startOf(samples: readonly HeatSample[], knots: number): readonly number[] {
  const duty = mean(samples.map(({ dutyShare }) => dutyShare));
  const logarithms = [LIMITS.riseStart, LIMITS.lossStart, LIMITS.lagStartH].map(Math.log);
  const cooling = Array.from({ length: knots }, () => -duty * LIMITS.riseStart);
  return [samples[0]?.rootZoneC ?? Number.NaN, ...logarithms, ...cooling];
}

/** How far the cooling goes from each knot to the next, in units of what it usually does. */
function wanderingOf(parameters: readonly number[]): readonly number[] {
  const cooling = parameters.slice(COOLING);
  return cooling.slice(1).map((one, i) => (one - (cooling[i] ?? one)) / LIMITS.wanderKPerH);
}

/** A time in which the mat was on, off, or so much of it that nobody knows when. */
interface Step {
  readonly fromH: number;
  readonly spanH: number;
  readonly on: number;
}

/** For each sample the steps that lead to it: the mat came on late where it stayed on, and went off early where it stayed off. */
function stepsOf(samples: readonly HeatSample[]): readonly (readonly Step[])[] {
  return samples.map(({ atH, dutyShare }, i) => {
    const before = samples[i - 1];
    if (before === undefined) return [];
    const spanH = atH - before.atH;
    const offers = before.dutyShare - (samples[i + 1]?.dutyShare ?? dutyShare);
    if (dutyShare <= 0 || dutyShare >= 1 || offers === 0)
      return [{ fromH: before.atH, spanH, on: dutyShare }];
    const onH = dutyShare * spanH;
    const offH = spanH - onH;
    return offers > 0
      ? [
          { fromH: before.atH, spanH: onH, on: 1 },
          { fromH: before.atH + onH, spanH: offH, on: 0 },
        ]
      : [
          { fromH: before.atH, spanH: offH, on: 0 },
          { fromH: before.atH + offH, spanH: onH, on: 1 },
        ];
  });
}

/** What is fitted, and how. */
interface Frame {
  readonly samples: readonly HeatSample[];
  readonly steps: readonly (readonly Step[])[];
  readonly knots: number;
  /** Of the root zone, by which cooling is told. */
  readonly meanC: number;
}

/** The root zone at every sample by the model. */
function courseOf(
  { samples, steps, knots, meanC }: Frame,
  parameters: readonly number[],
): readonly number[] {
  const rise = Math.exp(parameters[LN_RISE] ?? Number.NaN);
  const loss = Math.exp(parameters[LN_LOSS] ?? Number.NaN);
  const lagH = Math.exp(parameters[LN_LAG] ?? Number.NaN);
  const placeOf = placesOf(samples, knots);
  let celsius = parameters[START] ?? Number.NaN;
  let warm = samples[0]?.dutyShare ?? 0;
  return samples.map((_, i) => {
    for (const { fromH: stepH, spanH, on } of steps[i] ?? []) {
      const { knot, along } = placeOf(stepH + spanH / 2);
      const a = parameters[COOLING + knot] ?? Number.NaN;
      const b = parameters[COOLING + knot + 1] ?? Number.NaN;
      const before = warm;
      warm = on + (before - on) * Math.exp(-spanH / lagH);
      const heat = on - ((warm - before) * lagH) / spanH;
      const endC = meanC + (a + (b - a) * along + heat * rise) / loss;
      celsius = endC + (celsius - endC) * Math.exp(-loss * spanH);
    }
    return celsius;
  });
}

/** The knot before a time, and how far it is on the way to the next one, 0..1. */
function placesOf(
  samples: readonly HeatSample[],
  knots: number,
): (atH: number) => { readonly knot: number; readonly along: number } {
  const fromH = samples[0]?.atH ?? 0;
  const knotsAnHour = (knots - 1) / ((samples.at(-1)?.atH ?? 0) - fromH);
  return (atH) => {
    const place = (atH - fromH) * knotsAnHour;
    const knot = Math.max(0, Math.min(knots - 2, Math.floor(place)));
    return { knot, along: place - knot };
  };
}

type Course = (parameters: readonly number[]) => readonly number[];

/** Estimates with their uncertainties, by the curvature at the best fit. */
function resultOf(
  seen: readonly number[],
  course: Course,
  best: readonly number[],
  frame: Frame,
): HeatFit | null {
  const readings = frame.samples.length;
  const fitted = course(best);
  const left = seen.map((one, i) => one - (fitted[i] ?? Number.NaN)).slice(0, readings);
  // Readings that scatter more than they should tell less; those that scatter less tell no more.
  const squares = left.reduce((sum, one) => sum + one * one, 0);
  const variance = Math.max(1, squares / readings);
  if (!Number.isFinite(variance)) return null;
  const jacobian = new Matrix(seen.length, best.length);
  best.forEach((value, j) => {
    const shifted = (by: number): readonly number[] =>
      course(best.map((one, k) => (k === j ? value + by : one)));
    const [up, down] = [shifted(STEP), shifted(-STEP)];
    seen.forEach((_, i) => {
      jacobian.set(i, j, ((up[i] ?? 0) - (down[i] ?? 0)) / (2 * STEP));
    });
  });
  const curvature = jacobian.transpose().mmul(jacobian);
  const covariance = inverse(curvature, true).mul(variance);
  const ofLogarithm = (at: number): Estimate => {
    const value = Math.exp(best[at] ?? Number.NaN);
    return { value, sd: value * Math.sqrt(covariance.get(at, at)) };
  };
  return {
    riseKPerH: ofLogarithm(LN_RISE),
    lossPerH: ofLogarithm(LN_LOSS),
    aroundC: (atH) => aroundOf(best, covariance, frame, knotShares(frame, atH)),
    residualK: LIMITS.readingK * Math.sqrt(squares / readings),
  };
}

/** What each knot counts for in a mean over these times; all alike without any. */
function knotShares({ samples, knots }: Frame, atH: readonly number[] = []): readonly number[] {
  if (atH.length === 0) return new Array<number>(knots).fill(1 / knots);
  const shares = new Array<number>(knots).fill(0);
  const placeOf = placesOf(samples, knots);
  for (const one of atH) {
    const { knot, along } = placeOf(one);
    shares[knot] = (shares[knot] ?? 0) + (1 - along) / atH.length;
    shares[knot + 1] = (shares[knot + 1] ?? 0) + along / atH.length;
  }
  return shares;
}

/** The mean cooling says by how much the surroundings are colder, at the loss there is. */
function aroundOf(
  best: readonly number[],
  covariance: Matrix,
  { meanC }: Frame,
  shares: readonly number[],
): Estimate {
  const loss = Math.exp(best[LN_LOSS] ?? Number.NaN);
  const cooling = best.slice(COOLING);
  const belowK = cooling.reduce((sum, one, i) => sum + one * (shares[i] ?? 0), 0) / loss;
  const gradient = best.map((_, i) =>
    i === LN_LOSS ? -belowK : i >= COOLING ? (shares[i - COOLING] ?? 0) / loss : 0,
  );
  const row = Matrix.rowVector(gradient);
  const variance = row.mmul(covariance).mmul(row.transpose()).get(0, 0);
  return { value: meanC + belowK, sd: Math.sqrt(variance) };
}
