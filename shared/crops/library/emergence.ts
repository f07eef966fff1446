/** When the seed of a crop comes up at a steady root zone, and how much of it: what each source says. Pure. */
import { thermalTimeDays, thermalTimeOf } from '../../physics/thermal-time';
import { accept, decline, type Verdict } from '../../physics/verdict';
import { inBothUnits } from '../../units';
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

/**
 * Days as tables print them: what stands for all that rounds to 8 d, 7.5 to 8.5, is 8 d again, and no 8 to 9.
 */
export function printedDays({ low, high }: Range): Range {
  const [first, last] = [Math.floor(low + PRINTED_TO_D), Math.ceil(high - PRINTED_TO_D)];
  return first <= last ? { low: first, high: last } : { low: last, high: last };
}

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
    return decline(`A cutting of ${crop.name} roots; nothing emerges. Its rooting has the days.`);
  }
  const never = noGermination(crop, atC);
  if (never !== null) return decline(never);
  const [first] = crop.trials;
  const estimates = [
    ...crop.trials.flatMap((trials) => trialEstimate(trials, atC) ?? []),
    ...(first === undefined ? [] : fittedEstimate(first, atC)),
  ];
  if (estimates.length === 0) {
    return decline(
      `How long ${crop.name} seed takes at ${inBothUnits(atC)} is not in the trials known here.`,
    );
  }
  const days = {
    low: Math.min(...estimates.map(({ low }) => low)),
    high: Math.max(...estimates.map(({ high }) => high)),
  };
  return accept({ days, estimates, normal: normalAt(crop, atC) });
}

/**
 * Who says that no seed comes up at `atC`, or at both tried temperatures around it; null where nobody does.
 * Beyond the coldest and the warmest tried, these speak: what 40 C does, 45 C does too.
 */
export function noGerminationBy(crop: Crop, atC: number): string | null {
  const trials = crop.trials.find(({ rows }) => {
    const cold = [...rows].reverse().find((row) => row.atC.low <= atC);
    const warm = rows.find((row) => row.atC.high >= atC);
    const sides = [cold, warm].filter((row) => row !== undefined);
    return sides.length > 0 && sides.every((row) => row.days === 'never');
  });
  return trials?.source ?? null;
}

/** The same as a sentence. */
export function noGermination(crop: Crop, atC: number): string | null {
  const source = noGerminationBy(crop, atC);
  return source === null
    ? null
    : `At ${inBothUnits(atC)} no ${crop.name} seed comes up (${source}).`;
}

/**
 * Progress of these rows per day at a steady `atC`, 1 at emergence: it is this pace that goes straight between
 * two temperatures, not the days. Null where none came up on either side, or nobody recorded it: between what
 * came up and what did not, the line is nobody's.
 */
export function progressPerDay(rows: readonly TrialRow[], atC: number): number | null {
  const days = daysIn(rows, atC);
  return days === null ? null : 2 / (days.low + days.high);
}

/** Share of normal seedlings 0..1 at a steady `atC`, straight between the rows; null where not recorded. */
export function normalShareIn(rows: readonly TrialRow[], atC: number): number | null {
  const [cold, warm, part] = around(rows, atC) ?? [];
  const [low, high] = [cold?.normalShare ?? null, warm?.normalShare ?? null];
  return part === undefined || low === null || high === null ? null : low + (high - low) * part;
}

function daysIn(rows: readonly TrialRow[], atC: number): (Range & { isOne: boolean }) | null {
  const [cold, warm, part] = around(rows, atC) ?? [];
  if (part === undefined || typeof cold?.days !== 'object' || typeof warm?.days !== 'object') {
    return null;
  }
  if (cold.days === null || warm.days === null) return null;
  const between = (a: number, b: number): number => 1 / (1 / a + (1 / b - 1 / a) * part);
  return {
    low: between(cold.days.low, warm.days.low),
    high: between(cold.days.high, warm.days.high),
    isOne: cold.days.low === cold.days.high && warm.days.low === warm.days.high,
  };
}

function trialEstimate({ source, rows }: Trials, atC: number): Estimate | null {
  const days = daysIn(rows, atC);
  if (days === null) return null;
  const spread = days.isOne ? PRINTED_TO_D : 0;
  return { by: 'trials', source, low: days.low - spread, high: days.high + spread };
}

function fittedEstimate({ source, rows }: Trials, atC: number): Estimate[] {
  const points = rows.flatMap(({ atC: { low, high }, days }) =>
    days === null || days === 'never' || low !== high
      ? []
      : [{ atC: low, days: (days.low + days.high) / 2 }],
  );
  const fit = thermalTimeOf(points);
  const days = fit === null || fit.r2 < LEAST_R2 ? null : thermalTimeDays(fit, atC);
  return days === null ? [] : [{ by: 'thermal-time', source, low: days, high: days }];
}

function normalAt(crop: Crop, atC: number): EmergenceForecast['normal'] {
  for (const { source, rows } of crop.trials) {
    const share = normalShareIn(rows, atC);
    if (share !== null) return { share, source };
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
  const [alone] = rows;
  if (alone === undefined || rows.length > 1) return null;
  const apartK = Math.max(alone.atC.low - atC, atC - alone.atC.high);
  return apartK <= ALONE_K ? [alone, alone, 0] : null;
}
