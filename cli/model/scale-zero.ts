/** Whether the scale's zero creeps: what a tray seems to lose under a closed lid beyond what such a lid lets out. Pure. */
import { saturationKpa } from '../../shared/physics/vapour';
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import { between, type Record } from '../explain/record';
import { type DriedDays, driedDays } from './drying';
import { type Figure, figureOf } from './figure';
import { MODEL_LIMITS as LIMITS } from './limits';

const DAY_H = 24;

export interface ScaleZero {
  /** Creep of the zero, up or down, g a day. */
  readonly gPerDay: Figure;
  readonly days: number;
}

/** Declines where no whole day was spent under a closed lid. */
export function scaleZeroOf(record: Record): Verdict<ScaleZero> {
  const closed = driedDays(record).filter(({ lid }) => lid === 'closed');
  const hours = closed.reduce((sum, one) => sum + one.hours, 0);
  if (hours === 0)
    return decline(
      'There was no whole day under a closed lid lately; under any other the air takes more than a scale creeps.',
    );
  const lostG = closed.reduce((sum, one) => sum + one.lostG, 0);
  const weighedG2 = closed.reduce((sum, { varG2 }) => sum + varG2, 0);
  const usualG = LIMITS.closedGHKpa * aboveRoomKpa(record, closed) * DAY_H;
  if (!(usualG > 0))
    return decline(
      'The root zone was not read under the closed lid: what goes out goes by its warmth.',
    );
  return accept({
    gPerDay: figureOf(
      usualG - (lostG / hours) * DAY_H,
      Math.hypot(usualG * LIMITS.closedLn, (Math.sqrt(weighedG2) / hours) * DAY_H),
    ),
    days: hours / DAY_H,
  });
}

/** By how much the vapour of warm wool was above that of a usual room, on average over those days, kPa. */
function aboveRoomKpa(record: Record, days: readonly DriedDays[]): number {
  const vapour = days
    .flatMap(({ fromMs, toMs }) => between(record.readings, fromMs, toMs))
    .filter(({ rootZoneC }) => Number.isFinite(rootZoneC))
    .map(({ rootZoneC }) => saturationKpa(rootZoneC));
  return vapour.reduce((sum, one) => sum + one, 0) / vapour.length - LIMITS.roomKpa;
}
