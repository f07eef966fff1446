/** What a mat gives, by the journal of the tray on it: at first, and now. Pure. */
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import { SPELL_LIMITS } from '../explain/limits';
import { notesOf, type Reading, type Record } from '../explain/record';
import { type Figure, figureOfLn, NINE_OF_TEN_Z } from './figure';
import type { Estimate } from './heat-fit';
import { MODEL_LIMITS as LIMITS } from './limits';
import { type FittedStretch, fittedStretches } from './stretches';

/** What the mat gave in a time: W that reach the tray, and what they lie between in nine of ten cases. */
export interface MatPower {
  readonly fromMs: number;
  readonly toMs: number;
  readonly watts: number;
  readonly lowW: number;
  readonly highW: number;
}

export interface MatHealth {
  readonly now: MatPower;
  /** The first time that could be told; null where that is the same. */
  readonly first: MatPower | null;
  /** Now against then, share, and what it lies between in nine of ten cases; null without a first. */
  readonly change: { readonly share: number; readonly low: number; readonly high: number } | null;
  /** Share of its heat that holding the root zone took in the hours in which it took most, and what was left then, W. */
  readonly mostDutyShare: number;
  readonly spareW: number;
  /** Heat that tray and mat hold, with the water that is in them now, Wh for each kelvin. */
  readonly heldWhK: Figure;
}

/** A time in which a mat was on, or off, for another reason than the room. */
export interface Spoilt {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Declines, with why, what the journal cannot carry. The coldest hours are none of the `spoilt` times. */
export function matHealthOf(
  record: Record,
  stretches = fittedStretches(record),
  spoilt: readonly Spoilt[] = [],
): Verdict<MatHealth> {
  const last = stretches.at(-1);
  if (last === undefined) {
    return decline(
      `There are no ${LIMITS.leastH} hours on end in which the mat went on and off ${LIMITS.leastSwitches} times and nothing was poured, dosed or moved: a mat that is always on, or always off, does not tell what it gives.`,
    );
  }
  const now = powerOf(last);
  const [earliest = last] = stretches;
  const first = earliest === last ? null : powerOf(earliest);
  const mostDutyShare = mostDuty(settledReadings(record, spoilt), last.fit.riseKPerH.value);
  return accept({
    ...{ now, first },
    change:
      first === null ? null : changeOf(earliest.fit.riseKPerH, last.fit.riseKPerH, first, now),
    mostDutyShare,
    spareW: (1 - mostDutyShare) * now.watts,
    heldWhK: figureOfLn(last.capacityJK / 3600, LIMITS.capacityShare),
  });
}

function powerOf({ fit, capacityJK, fromMs, toMs }: FittedStretch): MatPower {
  const { value, sd } = fit.riseKPerH;
  const told = figureOfLn(
    (value * capacityJK) / 3600,
    Math.hypot(sd / value, LIMITS.capacityShare, LIMITS.matShare),
  );
  return { fromMs, toMs, watts: told.value, lowW: told.low, highW: told.high };
}

/** The same tray and mat: what they are made of, known or not, falls out. */
function changeOf(
  first: Estimate,
  now: Estimate,
  then: MatPower,
  present: MatPower,
): NonNullable<MatHealth['change']> {
  const share = present.watts / then.watts - 1;
  const spread = Math.exp(NINE_OF_TEN_Z * Math.hypot(first.sd / first.value, now.sd / now.value));
  return { share, low: (1 + share) / spread - 1, high: (1 + share) * spread - 1 };
}

/** Without those of a tray on its way to a band that it was only just given, or that it fell out of by a fault. */
function settledReadings(record: Record, spoilt: readonly Spoilt[]): readonly Reading[] {
  const begins = [...notesOf(record, 'mark'), ...notesOf(record, 'stage')].map(({ atMs }) => ({
    fromMs: atMs,
    toMs: atMs,
  }));
  const ways = [...begins, ...spoilt];
  return record.readings.filter(
    ({ atMs, stage }) =>
      stage !== null &&
      !ways.some(({ fromMs, toMs }) => atMs >= fromMs && atMs < toMs + SPELL_LIMITS.wayMs),
  );
}

/** The mat's coldest hours are so many on end. */
const DUTY_H = 3;

/**
 * Largest share of any such hours in which the mat was on, without what warmed the tray meanwhile: on its way up a wide
 * band, or to it, a mat is on for hours that could hold a colder night. `riseKPerH`: what it warms the tray by, K/h;
 * a tray that cools under it wants more than it has. 0 where there are not so many hours.
 */
function mostDuty(readings: readonly Reading[], riseKPerH: number): number {
  const count = DUTY_H * LIMITS.readingsAnHour;
  let most = 0;
  let sum = 0;
  const kept: Reading[] = [];
  for (const reading of readings) {
    if (!Number.isFinite(reading.matDutyShare) || !Number.isFinite(reading.rootZoneC)) continue;
    kept.push(reading);
    sum += reading.matDutyShare;
    if (kept.length > count) sum -= kept.shift()?.matDutyShare ?? 0;
    if (kept.length < count) continue;
    const warmedK = reading.rootZoneC - (kept[0]?.rootZoneC ?? Number.NaN);
    most = Math.max(most, Math.min(1, sum / count - warmedK / (riseKPerH * DUTY_H)));
  }
  return most;
}
