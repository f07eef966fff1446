/** When the seed of a crop comes up at a steady root zone, and how much of it: what each source says. Pure. */
import { thermalTimeDays, thermalTimeOf } from '../../physics/thermal-time';
import { accept, decline, type Verdict } from '../../physics/verdict';
import type { Crop, Range, TrialRow, Trials } from './crop';

/** One source's answer, or the thermal time fitted to the first one's rows. */
export interface Estimate extends Range {
  readonly by: 'trials' | 'thermal-time';
  readonly source: string;
}

export interface EmergenceForecast {
  /** Days from sowing until half of the seed is up, over all estimates. */
  readonly days: Range;
  readonly estimates: readonly Estimate[];
  /** Share of the seed that gives normal seedlings, 0..1, and who says so; null where nobody recorded it. */
  readonly normal: { readonly share: number; readonly source: string } | null;
}

/** Printed days are whole ones. */
const PRINTED_TO_D = 0.5;
/** A worse line is none, and the trials are asked alone. */
const LEAST_R2 = 0.95;
/** A row that stands alone speaks for so much around it. */
const ALONE_K = 2.5;

/**
 * Days to emergence of `crop` in a root zone held at `atC`. Refuses for cuttings, where a source says
 * that no seed comes up, and where nobody tried.
 */
export function emergence(crop: Crop, atC: number): Verdict<EmergenceForecast> {
  if (crop.from === 'cutting') {
    return decline(`${crop.name} is begun from cuttings: they root, and nothing emerges.`);
  }
  const never = noGermination(crop, atC);
  if (never !== null) return decline(never);
  const estimates = [
    ...crop.trials.flatMap((trials) => trialEstimate(trials, atC) ?? []),
    ...fittedEstimate(crop.trials[0], atC),
  ];
  if (estimates.length === 0) {
    return decline(
      `How long ${crop.name} seed takes at ${round(atC)} C is not in the trials known here.`,
    );
  }
  const days = {
    low: Math.min(...estimates.map(({ low }) => low)),
    high: Math.max(...estimates.map(({ high }) => high)),
  };
  return accept({ days, estimates, normal: normalAt(crop, atC) });
}

/**
 * A sentence with its source where one says that no seed comes up at `atC`, or at both tried temperatures
 * around it; else null.
 */
export function noGermination(crop: Crop, atC: number): string | null {
  for (const { source, rows } of crop.trials) {
    const cold = [...rows].reverse().find((row) => row.atC.low <= atC);
    const warm = rows.find((row) => row.atC.high >= atC);
    // Beyond the ends, the end: what 40 C does, 45 C does too.
    const sides = [cold, warm].filter((row) => row !== undefined);
    if (sides.length > 0 && sides.every((row) => row.days === 'never')) {
      return `At ${round(atC)} C no ${crop.name} seed comes up (${source}).`;
    }
  }
  return null;
}

function trialEstimate({ source, rows }: Trials, atC: number): Estimate | null {
  const sides = around(rows, atC);
  if (sides === null) return null;
  const [cold, warm, part] = sides;
  if (cold.days === null || warm.days === null) return null;
  // Between one that came up and one that did not, the line to nothing is nobody's.
  if (cold.days === 'never' || warm.days === 'never') return null;
  // It is the pace (1/days) that goes straight between two temperatures.
  const between = (a: number, b: number): number => 1 / (1 / a + (1 / b - 1 / a) * part);
  const isPrintedAsOne = cold.days.low === cold.days.high && warm.days.low === warm.days.high;
  const spread = isPrintedAsOne ? PRINTED_TO_D : 0;
  return {
    by: 'trials',
    source,
    low: between(cold.days.low, warm.days.low) - spread,
    high: between(cold.days.high, warm.days.high) + spread,
  };
}

function fittedEstimate(trials: Trials | undefined, atC: number): Estimate[] {
  if (trials === undefined) return [];
  const points = trials.rows.flatMap(({ atC: { low, high }, days }) =>
    days === null || days === 'never' || low !== high
      ? []
      : [{ atC: low, days: (days.low + days.high) / 2 }],
  );
  const fit = thermalTimeOf(points);
  const days = fit === null || fit.r2 < LEAST_R2 ? null : thermalTimeDays(fit, atC);
  return days === null
    ? []
    : [{ by: 'thermal-time', source: trials.source, low: days, high: days }];
}

function normalAt(crop: Crop, atC: number): EmergenceForecast['normal'] {
  for (const { source, rows } of crop.trials) {
    const [cold, warm, part] = around(rows, atC) ?? [];
    const [low, high] = [cold?.normalShare ?? null, warm?.normalShare ?? null];
    if (part !== undefined && low !== null && high !== null) {
      return { share: low + (high - low) * part, source };
    }
  }
  return null;
}

/**
 * The rows on either side of `atC`, and how far it is from the colder to the warmer, 0..1; the same row
 * twice where one speaks for it alone. Null where none does.
 */
function around(
  rows: readonly TrialRow[],
  atC: number,
): readonly [cold: TrialRow, warm: TrialRow, part: number] | null {
  const within = rows.find((row) => row.atC.low <= atC && atC <= row.atC.high);
  if (within !== undefined) return [within, within, 0];
  const cold = [...rows].reverse().find((row) => row.atC.high < atC);
  const warm = rows.find((row) => row.atC.low > atC);
  if (cold !== undefined && warm !== undefined) {
    return [cold, warm, (atC - cold.atC.high) / (warm.atC.low - cold.atC.high)];
  }
  const near = rows.find((row) => Math.max(row.atC.low - atC, atC - row.atC.high) <= ALONE_K);
  return rows.length > 1 || near === undefined ? null : [near, near, 0];
}

/** A temperature in a sentence. */
const round = (atC: number): number => Math.round(atC * 10) / 10;
