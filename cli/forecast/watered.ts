/** The doses ahead of a tray whose reservoir is kept filled: as they are likely, and between what they lie nine of ten times. Pure. */
import { normalQuantile } from '../../shared/statistics/normal';
import { HOUR_MS } from '../../shared/units/time';
import { FORECAST_LIMITS as LIMITS } from './limits';
import type { Uptake } from './uptake';
import { type Ahead, type Dose, type Place, walk } from './walk';

/** The same days of a tray that dries slower and faster than is likely. */
export interface Watered {
  readonly slow: Ahead;
  readonly likely: Ahead;
  readonly fast: Ahead;
}

/** `within`: how often the truth lies between `slow` and `fast`. */
export function wateredOf(place: Place, uptake: Uptake, within: number): Watered {
  const filled = { ...place, reservoirMl: null };
  const z = normalQuantile((1 + within) / 2);
  const { line } = uptake;
  // Doses go by the weight, which what the plants keep is still a part of.
  const byWeight = { ...uptake, line: { ...line, level: line.level - LIMITS.grownLn } };
  return {
    slow: walk(filled, byWeight, -z),
    likely: walk(filled, byWeight, 0),
    fast: walk(filled, byWeight, z),
  };
}

/** A dose as it is likely, and the time within which it has been given nine of ten times, ms from now. */
export interface DoseWithin extends Dose {
  readonly soonestMs: number;
  /** Null: not within the time that is looked ahead. */
  readonly latestMs: number | null;
}

/** The first dose that the tray takes after `afterMs` from now; null where it is likely to take none. */
export function doseAfter({ slow, likely, fast }: Watered, afterMs: number): DoseWithin | null {
  const number = likely.doses.findIndex(({ inMs }) => inMs > afterMs);
  const dose = likely.doses[number];
  if (dose === undefined) return null;
  const first = Math.min(dose.inMs, fast.doses[number]?.inMs ?? dose.inMs);
  const last = slow.doses[number];
  return {
    ...dose,
    soonestMs: first - LIMITS.doseSoonerH * HOUR_MS,
    latestMs:
      last === undefined ? null : Math.max(dose.inMs, last.inMs) + LIMITS.doseLaterH * HOUR_MS,
  };
}
