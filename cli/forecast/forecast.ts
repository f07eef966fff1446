/** What becomes of a tray that nobody comes to: as it is likely, and so that nine of ten times it lasts longer. Pure. */
import type { Status } from '../../shared/link/status';
import { normalQuantile } from '../../shared/statistics/normal';
import type { Stand } from '../explain/stand';
import { lidAt, lidDoubtLn, priorFor } from './lid';
import { lossesOf } from './losses';
import { type NoPlace, placeOf } from './place';
import { sdLnOver, type Uptake, uptakeOf } from './uptake';
import { type Ahead, type Place, walk } from './walk';
import { type Watered, wateredOf } from './watered';

/** What is said with certainty holds so often. */
export const CERTAINTY = 0.9;
const SURE_Z = normalQuantile(CERTAINTY);

export interface Forecast {
  readonly place: Place;
  readonly uptake: Uptake;
  readonly sure: Ahead;
  readonly likely: Ahead;
  readonly watered: Watered;
  /** Loss a day now, g, and what it lies between in nine of ten cases. */
  readonly gPerDay: { readonly low: number; readonly likely: number; readonly high: number };
}

export type Forecasting =
  | { readonly ok: true; readonly forecast: Forecast }
  | { readonly ok: false; readonly why: NoPlace };

/** From the end of a record at `nowMs`, on its line of time; `status` where the controller has just answered. */
export function forecastOf(stand: Stand, nowMs: number, status: Status | null): Forecasting {
  const { record } = stand;
  const found = placeOf(record, nowMs, status);
  if (!found.ok) return found;
  const { place } = found;
  const losses = lossesOf(stand, nowMs);
  const wanted = place.profile.stages[place.stage.index]?.lid ?? 'closed';
  const prior = priorFor(lidAt(record, wanted, nowMs), place.capacityG - place.dryG);
  const uptake = uptakeOf(losses, prior, lidDoubtLn(record, losses, nowMs));
  const spread = Math.exp(normalQuantile((1 + CERTAINTY) / 2) * sdLnOver(uptake, 1));
  const likely = Math.exp(uptake.line.level);
  return {
    ok: true,
    forecast: {
      place,
      uptake,
      sure: surely(place, uptake),
      likely: walk(place, uptake, 0),
      watered: wateredOf(place, uptake, CERTAINTY),
      gPerDay: {
        low: likely / spread,
        likely,
        high: likely * spread * Math.exp(uptake.doubtLn),
      },
    },
  };
}

/** The days ahead so that nine of ten times every end comes later. */
export const surely = (place: Place, uptake: Uptake): Ahead => walk(place, uptake, SURE_Z);
