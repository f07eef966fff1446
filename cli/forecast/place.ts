/** How a tray stands at the end of a record, as a forecast needs it. Pure. */

import { isNeed } from '../../firmware/control/need';
import { WATER_LIMITS } from '../../firmware/limits';
import { NO_STAGE } from '../../shared/journal/kinds';
import type { Status } from '../../shared/link/status';
import { DAY_MS, HOUR_MS, minuteOfDay } from '../../shared/units/time';
import { reservoirAt } from '../explain/given';
import { between, notesOf, type Reading, type Record } from '../explain/record';
import { unixOf } from '../explain/show';
import type { Dose, Place } from './walk';

/** Why a tray cannot be forecast. */
export type NoPlace =
  | 'no-readings'
  | 'not-sown'
  | 'profile-unknown'
  | 'capacity-unknown'
  | 'weight-unknown';

/** Where the tray is; `status` where the controller answers just now, which knows what a journal only lets one reckon. */
export function placeOf(
  record: Record,
  nowMs: number,
  status: Status | null,
): { readonly ok: true; readonly place: Place } | { readonly ok: false; readonly why: NoPlace } {
  if (status !== null && status.stage === null) return { ok: false, why: 'not-sown' };
  const reading = record.readings.filter(({ atMs }) => atMs <= nowMs).at(-1);
  if (reading === undefined) return { ok: false, why: 'no-readings' };
  const index = status === null ? reading.stageIndex : (status.stage?.index ?? NO_STAGE);
  if (index >= NO_STAGE) return { ok: false, why: 'not-sown' };
  const profile = record.profileAt(nowMs);
  if (profile === null || profile.stages[index] === undefined)
    return { ok: false, why: 'profile-unknown' };
  const weights = weightsOf(record, nowMs, status);
  if (weights === null) return { ok: false, why: 'capacity-unknown' };
  const dryBackShare = status?.water.dryBackShare ?? lastDryBack(record, nowMs);
  if (Number.isNaN(dryBackShare)) return { ok: false, why: 'weight-unknown' };
  const begun = notesOf(record, 'stage')
    .filter(({ atMs }) => atMs <= nowMs)
    .at(-1);
  const beganMs = begun?.atMs ?? record.fromMs;
  const doses = between(notesOf(record, 'dose'), 0, nowMs).flatMap(({ atMs, entry }) =>
    isNeed(entry.reason) ? [{ atMs, ml: entry.plannedMl, need: entry.reason }] : [],
  );
  const here = doses.filter(({ atMs }) => atMs > beganMs);
  const refill = notesOf(record, 'refill')
    .filter(({ atMs }) => atMs <= nowMs)
    .at(-1);
  const lately = between(doses, nowMs - (WATER_LIMITS.dayHours / 24) * DAY_MS, nowMs).map(
    ({ atMs, ml, need }): Dose => ({ inMs: atMs - nowMs, ml, need }),
  );
  const unixMs = unixOf(record, nowMs);
  const reservoirMl =
    status === null ? (reservoirAt(record, nowMs)?.leftMl ?? null) : status.water.reservoirLeftMl;
  const filledMl = refill?.entry.volumeMl ?? Number.NaN;
  return {
    ok: true,
    place: {
      profile,
      stage: {
        index,
        runMs: status?.stage ? status.stage.runS * 1000 : nowMs - beganMs,
        staying: status?.stage?.staying ?? false,
      },
      opened: here.length > 0,
      rescued: here.some(({ need }) => need === 'rescue'),
      dryBackShare,
      ...weights,
      lately,
      stageMl: status?.water.stageMl ?? here.reduce((sum, { ml }) => sum + ml, 0),
      reservoirMl,
      usedMl: Number.isNaN(filledMl) ? 0 : Math.max(0, filledMl - (reservoirMl ?? filledMl)),
      feedEc: refill?.entry.feedEc ?? Number.NaN,
      filledAgoMs: refill === undefined ? Number.POSITIVE_INFINITY : nowMs - refill.atMs,
      minuteOfDay: unixMs === null ? null : minuteOfDay(unixMs, profile.utcOffsetMin),
      hourOfDay: (nowMs / HOUR_MS) % 24,
    },
  };
}

function weightsOf(record: Record, nowMs: number, status: Status | null) {
  const told = notesOf(record, 'capacity')
    .filter(({ atMs }) => atMs <= nowMs)
    .at(-1)?.entry;
  const capacityG = status?.water.capacityG ?? told?.capacityG ?? Number.NaN;
  const dryG = status?.water.dryG ?? told?.dryG ?? Number.NaN;
  return capacityG > dryG ? { capacityG, dryG } : null;
}

/** Of the last weight that was one; NaN where there was none for some hours. */
function lastDryBack(record: Record, nowMs: number): number {
  const isWeight = ({ dryBackShare }: Reading): boolean => !Number.isNaN(dryBackShare);
  const recent = between(record.readings, nowMs - WEIGHT_MS, nowMs).filter(isWeight);
  return recent.at(-1)?.dryBackShare ?? Number.NaN;
}
const WEIGHT_MS = 3 * HOUR_MS;
