/**
 * What the runtime's hourly cap leaves the pump. A dose that it would cut short could not be proved, so one that does not
 * fit into the running hour waits for the next. Pure.
 */
import { LIMITER } from '../../shared/board/map';
import { HOUR_MS } from '../../shared/units/time';

/** An hour of uptime, as the runtime counts them, and how long the pump ran in it, ms. */
export interface PumpHour {
  readonly hour: number;
  readonly ranMs: number;
}

export const NOT_RUN: PumpHour = { hour: 0, ranMs: 0 };

/** The pump ran for `ranMs` up to `uptimeMs`. */
export function afterRun(
  { hour, ranMs: before }: PumpHour,
  uptimeMs: number,
  ranMs: number,
): PumpHour {
  const now = Math.floor(uptimeMs / HOUR_MS);
  return { hour: now, ranMs: now === hour ? before + ranMs : ranMs };
}

/** Whether a dose of `pumpMs` fits into the hour. Into a fresh one any does: it would wait for ever. */
export function fitsInHour({ ranMs }: PumpHour, pumpMs: number): boolean {
  return ranMs === 0 || ranMs + pumpMs <= LIMITER.pumpMaxMsPerHour;
}
