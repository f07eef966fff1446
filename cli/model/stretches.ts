/** Times in which nothing but mat and room moved the root zone, and the heat that was fitted to them. Pure. */
import { heatCapacityJPerK } from '../../shared/physics/thermal';
import type { LidPlace } from '../../shared/profile/profile';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { notesOf, type Reading, type Record } from '../explain/record';
import { fitHeat, type HeatFit, type HeatSample } from './heat-fit';
import { MODEL_LIMITS as LIMITS } from './limits';

/** Readings further apart than that are no stretch. */
const APART_MS = 6 * MINUTE_MS;

export interface FittedStretch {
  readonly fromMs: number;
  readonly toMs: number;
  /** Where the lid was all the time; null where it was moved meanwhile, or nobody knows. */
  readonly lid: LidPlace | null;
  readonly fit: HeatFit;
  /** Of tray and mat, with the water in them, J/K. */
  readonly capacityJK: number;
}

/** The first stretch that tells anything and the newest ones, in order of time; those that cannot be fitted left out. */
export function fittedStretches(record: Record): readonly FittedStretch[] {
  const all = stretchesOf(record);
  const wanted = [...all.slice(0, 1), ...all.slice(1).slice(-LIMITS.lossStretches)];
  return wanted.flatMap((readings) => fitted(record, readings) ?? []);
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

function fitted(record: Record, readings: readonly Reading[]): FittedStretch | null {
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
  const places = new Set(readings.map(({ lid }) => lid?.place ?? null));
  const [lid = null] = places;
  return {
    ...{ fromMs, toMs: readings.at(-1)?.atMs ?? fromMs },
    lid: places.size === 1 ? lid : null,
    ...{ fit, capacityJK },
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
