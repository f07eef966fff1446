/** Which hours a tray dried faster than it usually does under this lid. Pure. */
import { DRYING_LIMITS } from '../../firmware/guard/limits';
import type { LidPlace } from '../../shared/profile/profile';
import { HOUR_MS } from '../../shared/units/time';
import { DRYING_EVIDENCE as LIMITS } from './limits';
import type { Stand } from './stand';
import type { Rate } from './weights';

/** A rate that is too fast, and what was usual then, g/h; NaN while unknown. */
export interface Fast {
  readonly rate: Rate;
  readonly usualGPerH: number;
}

/** Rates that neither the lid nor what was usual explains. */
export function fastOnes({ rates, spans }: Stand): readonly (Fast | null)[] {
  const usual: Rate[] = [];
  let lid: LidPlace | undefined;
  // Reckoned anew once an hour: a season has thirty thousand readings.
  let usuallyGPerH = Number.NaN;
  let reckonedMs = Number.NaN;
  return rates.map((rate) => {
    const { last, first, gPerH, atMs } = rate;
    if (last.lid?.place !== lid) {
      lid = last.lid?.place;
      usual.length = 0;
      reckonedMs = Number.NaN;
    }
    if (lid === undefined || first.lid?.place !== lid) return null;
    while (usual[0] !== undefined && atMs - usual[0].atMs > LIMITS.usualMs) usual.shift();
    const known = usual.length >= LIMITS.usualLeast * 12;
    if (known && !(atMs - reckonedMs < HOUR_MS)) {
      reckonedMs = atMs;
      usuallyGPerH = high(usual.map((one) => one.gPerH));
    }
    const usualGPerH = known ? usuallyGPerH : Number.NaN;
    const least = known ? LIMITS.leastGPerH[lid] : DRYING_LIMITS.leastGPerH[lid];
    const limit = Math.max(least, known ? LIMITS.usualTimes * usualGPerH + LIMITS.moreGPerH : 0);
    // A tray above what its wool holds drains: that is no drying.
    const drains =
      first.dryBackShare < -0.005 &&
      !spans.some(
        ({ alarm, fromMs, toMs }) =>
          alarm === 'weight-falling' && fromMs >= rate.fromMs && fromMs <= atMs && toMs >= fromMs,
      );
    if (gPerH <= limit) {
      usual.push(rate);
      return null;
    }
    return drains ? null : { rate, usualGPerH };
  });
}

/** What nine of ten hours stay below. */
function high(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return Math.max(0, sorted[Math.floor(0.9 * (sorted.length - 1))] ?? Number.NaN);
}

export function runsOf(ones: readonly (Fast | null)[]): readonly (readonly Fast[])[] {
  const runs: Fast[][] = [];
  let endMs = Number.NEGATIVE_INFINITY;
  for (const one of ones) {
    if (one === null) continue;
    const { fromMs, atMs } = one.rate;
    const last = runs.at(-1);
    if (last !== undefined && fromMs <= endMs + HOUR_MS) last.push(one);
    else runs.push([one]);
    endMs = atMs;
  }
  return runs;
}
