/**
 * How much was given: by rolling day, by stage, out of the reservoir. Time here is uptime only, so
 * that no clock, right or wrong, can open a cap early; while the board is off, the day stands still.
 */
import { HOUR_MS } from '../../shared/units/time';
import { assert } from '../assert';
import { WATER_LIMITS } from '../limits';

/** The part of the run state that counts water. Changed in place: it is one with the checkpoint. */
export interface WaterAccount {
  /** Ml of each hour of the rolling day; `hour` is the running one. */
  readonly hoursMl: Float64Array;
  hour: number;
  hourMs: number;
  /** Sum of `hoursMl`. */
  dayMl: number;
  stageMl: number;
  /** Since the reservoir was last marked refilled. */
  usedMl: number;
  /** Pump time since its calibration, ms. */
  pumpRunMs: number;
}

/** Time passes. */
export function passHours(account: WaterAccount, dtMs: number): void {
  account.hourMs += dtMs;
  // A very late tick may skip hours; more than the whole day is never there to be emptied.
  for (let i = 0; account.hourMs >= HOUR_MS && i < WATER_LIMITS.dayHours; i++) {
    account.hourMs -= HOUR_MS;
    account.hour = (account.hour + 1) % WATER_LIMITS.dayHours;
    countHour(account, 0);
  }
  if (account.hourMs >= HOUR_MS) account.hourMs = 0;
}

/**
 * A dose is about to be given: it counts before the pump starts. Negative `ml` takes part back. In the caps
 * a millilitre may count for more than it is (`countsAs` of `control/caps.ts`), in the reservoir it does not. What is taken back
 * may have been charged to the hour, the stage or the reservoir before this one: of these nothing is taken then.
 */
export function charge(account: WaterAccount, ml: number, countsAs = 1): void {
  const cappedMl = ml * countsAs;
  countHour(account, Math.max(0, (account.hoursMl[account.hour] ?? 0) + cappedMl));
  account.stageMl = Math.max(0, account.stageMl + cappedMl);
  account.usedMl = Math.max(0, account.usedMl + ml);
}

/** The running hour has so much, ml; nothing is changed where the day cannot be. */
function countHour(account: WaterAccount, hourMl: number): void {
  const dayMl = dayWith(account, hourMl);
  account.hoursMl[account.hour] = hourMl;
  account.dayMl = dayMl;
}

/** Recomputes the rolling day. */
export function sumDay(account: WaterAccount): void {
  account.dayMl = dayWith(account, account.hoursMl[account.hour] ?? 0);
}

/** The rolling day with `hourMl` in its running hour, ml. */
function dayWith({ hoursMl, hour }: WaterAccount, hourMl: number): number {
  let sum = 0;
  for (let i = 0; i < hoursMl.length; i++) {
    const ml = i === hour ? hourMl : (hoursMl[i] ?? 0);
    // Less than nothing given in an hour would open the day's cap.
    assert(ml >= 0, 'account-not-negative');
    sum += ml;
  }
  return sum;
}
