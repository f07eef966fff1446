/** What a mat gives, by the journal of the tray on it: at first, and now. What tray and lid lose is not told: no journal knows the room. Pure. */
import { heatCapacityJPerK } from '../../shared/physics/thermal';
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import { normalQuantile } from '../../shared/statistics/normal';
import { SPELL_LIMITS } from '../explain/limits';
import { notesOf, type Reading, type Record } from '../explain/record';
import { type Estimate, fitHeat, type HeatSample } from './heat-fit';
import { MODEL_LIMITS as LIMITS } from './limits';

const HOUR_MS = 3_600_000;
/** Readings further apart than that are no stretch. */
const APART_MS = 6 * 60_000;

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
  /** Share of the time that the mat was on in the hours in which it was on most, and what it had left then, W. */
  readonly mostDutyShare: number;
  readonly spareW: number;
}

const Z = normalQuantile(0.95);

/** Declines, with why, what the journal cannot carry. */
export function matHealthOf(record: Record): Verdict<MatHealth> {
  const stretches = stretchesOf(record);
  const last = stretches.at(-1);
  if (last === undefined) {
    return decline(
      `There are no ${LIMITS.leastH} hours on end in which the mat went on and off ${LIMITS.leastSwitches} times and nothing was poured, dosed or moved: a mat that is always on, or always off, does not tell what it gives.`,
    );
  }
  const now = powerIn(record, last);
  if (now === null) return decline('What the mat gives could not be told from these readings.');
  const earliest = stretches[0];
  const first = earliest === undefined || earliest === last ? null : powerIn(record, earliest);
  const mostDutyShare = mostDuty(settledReadings(record));
  return accept({
    now: now.power,
    first: first?.power ?? null,
    change: first === null ? null : changeOf(first.rise, now.rise, first.power, now.power),
    mostDutyShare,
    spareW: (1 - mostDutyShare) * now.power.watts,
  });
}

/** Times on end without a dose, a hand or a gap, not longer than a fit wants. */
function stretchesOf(record: Record): readonly (readonly Reading[])[] {
  const disturbed = record.notes
    .filter(({ dated }) => DISTURBING.includes(dated.entry.kind))
    .map(({ atMs }) => atMs);
  const all: Reading[][] = [];
  let next = 0;
  for (const reading of record.readings) {
    if (reading.note.dated.entry.kind !== 'reading' || reading.stage === null) continue;
    const stretch = all.at(-1);
    const before = stretch?.at(-1);
    let isBroken = before === undefined || reading.atMs - before.atMs > APART_MS;
    while ((disturbed[next] ?? Number.POSITIVE_INFINITY) <= reading.atMs) {
      isBroken = true;
      next++;
    }
    const isLong =
      stretch?.[0] !== undefined && reading.atMs - stretch[0].atMs > LIMITS.mostH * HOUR_MS;
    if (isBroken || isLong || stretch === undefined) all.push([reading]);
    else stretch.push(reading);
  }
  return all.filter(tells);
}
const DISTURBING: readonly string[] = ['dose', 'handling', 'mark', 'boot', 'stage', 'alarm'];

function tells(readings: readonly Reading[]): boolean {
  const [first] = readings;
  const last = readings.at(-1);
  if (first === undefined || last === undefined) return false;
  const switches = readings.filter(
    ({ matDutyShare }) => matDutyShare > 0 && matDutyShare < 1,
  ).length;
  return (
    last.atMs - first.atMs >= LIMITS.leastH * HOUR_MS &&
    switches >= LIMITS.leastSwitches &&
    readings.every(({ rootZoneC, matDutyShare }) => Number.isFinite(rootZoneC + matDutyShare))
  );
}

function powerIn(record: Record, readings: readonly Reading[]) {
  const fromMs = readings[0]?.atMs ?? 0;
  const samples = readings.map(
    ({ atMs, rootZoneC, matDutyShare }): HeatSample => ({
      atH: (atMs - fromMs) / HOUR_MS,
      rootZoneC,
      dutyShare: matDutyShare,
    }),
  );
  const fit = fitHeat(samples);
  const capacityJK = capacityOf(record, readings);
  if (fit === null || !Number.isFinite(capacityJK)) return null;
  const { value, sd } = fit.riseKPerH;
  const watts = (value * capacityJK) / 3600;
  const spread = Math.exp(Z * Math.hypot(sd / value, LIMITS.capacityShare));
  return {
    rise: fit.riseKPerH,
    power: {
      ...{ fromMs, toMs: readings.at(-1)?.atMs ?? fromMs },
      ...{ watts, lowW: watts / spread, highW: watts * spread },
    },
  };
}

/** Of water, wool, plastic, and the mat, which is warmed along, J/K; NaN while the tray was never weighed. */
function capacityOf(record: Record, readings: readonly Reading[]): number {
  const fromMs = readings[0]?.atMs ?? 0;
  const dryG =
    notesOf(record, 'capacity')
      .filter(({ atMs }) => atMs <= fromMs)
      .at(-1)?.entry.dryG ?? Number.NaN;
  const weights = readings.map(({ trayG }) => trayG).filter(Number.isFinite);
  const trayG = weights.reduce((sum, g) => sum + g, 0) / weights.length;
  const areaM2 = record.profileAt(fromMs)?.spread?.areaM2 ?? LIMITS.trayM2;
  return (
    heatCapacityJPerK(trayG - dryG, dryG - LIMITS.trayG) +
    LIMITS.trayG * LIMITS.plasticJGK +
    areaM2 * LIMITS.matJM2K
  );
}

/** The same tray and mat: what they are made of, known or not, falls out. */
function changeOf(
  first: Estimate,
  now: Estimate,
  then: MatPower,
  present: MatPower,
): NonNullable<MatHealth['change']> {
  const share = present.watts / then.watts - 1;
  const spread = Math.exp(Z * Math.hypot(first.sd / first.value, now.sd / now.value));
  return { share, low: (1 + share) / spread - 1, high: (1 + share) * spread - 1 };
}

/** Without those of a tray on its way to a band that it was only just given. */
function settledReadings(record: Record): readonly Reading[] {
  const begins = [...notesOf(record, 'mark'), ...notesOf(record, 'stage')].map(({ atMs }) => atMs);
  return record.readings.filter(
    ({ atMs, stage }) =>
      stage !== null && !begins.some((one) => atMs >= one && atMs - one < SPELL_LIMITS.wayMs),
  );
}

/** Over any three hours. */
function mostDuty(readings: readonly Reading[]): number {
  let most = 0;
  let sum = 0;
  const kept: number[] = [];
  for (const { matDutyShare } of readings) {
    if (!Number.isFinite(matDutyShare)) continue;
    kept.push(matDutyShare);
    sum += matDutyShare;
    if (kept.length > DUTY_READINGS) sum -= kept.shift() ?? 0;
    if (kept.length === DUTY_READINGS) most = Math.max(most, sum / DUTY_READINGS);
  }
  return most;
}
const DUTY_READINGS = 36;
