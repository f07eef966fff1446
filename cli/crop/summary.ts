/** A crop in a line: what it comes up best at, how soon, and when it is transplanted. Pure. */
import type { Crop, CropStageName, Range } from '../../shared/crops/library/crop';
import { emergence, printedDays } from '../../shared/crops/library/emergence';
import { CROP_FILE_NAMES } from '../../shared/profile/host/crops';
import { over } from './ranges';

export interface CropSummary {
  readonly name: string;
  readonly also: readonly string[];
  readonly kind: Crop['kind'];
  readonly from: Crop['from'];
  readonly isTransplanted: boolean;
  /** Root zone to bring it up, or to root it, C: what the first source says. */
  readonly startC: Range | null;
  /** Days until it is up, or has roots, in the middle of that; null where nobody tells. */
  readonly startDays: Range | null;
  readonly toTransplantDays: Range | null;
  /** There is a profile to start from. */
  readonly hasProfile: boolean;
}

const STARTING: readonly CropStageName[] = ['germinate', 'callus', 'root'];

/** The root zone the first stage wants, by the first of its sources; null where none tells. */
function startOf(crop: Crop): Range | null {
  const stage = crop.stages.find(({ name }) => STARTING.includes(name));
  const [first] = stage?.rootZoneC ?? [];
  return first === undefined ? null : { low: first.low, high: first.high };
}

/** Days until seed is up at `atC`, or a cutting has its first roots. */
export function startDays(crop: Crop, atC: number): Range | null {
  if (crop.rooting !== null) return over(crop.rooting.rootsDays);
  const forecast = emergence(crop, atC);
  return forecast.ok ? printedDays(forecast.value.days) : null;
}

export function summaryOf(crop: Crop): CropSummary {
  const startC = startOf(crop);
  return {
    name: crop.name,
    also: crop.also,
    kind: crop.kind,
    from: crop.from,
    isTransplanted: crop.isTransplanted,
    startC,
    startDays: startC === null ? null : startDays(crop, (startC.low + startC.high) / 2),
    toTransplantDays: over(crop.daysToTransplant),
    hasProfile: CROP_FILE_NAMES.some((name) => name === crop.name),
  };
}

/** As wide as the bands of the profiles that come with the program: less holds no root zone. */
const NARROWEST_BAND_K = 2;

/** Where both ranges of temperature lie; null where they do not meet. */
export function overlapOf(a: Range | null, b: Range | null): Range | null {
  if (a === null || b === null) return null;
  const range = { low: Math.max(a.low, b.low), high: Math.min(a.high, b.high) };
  return range.high < range.low ? null : range;
}

/** The same; null where that is no room for a band. */
export function shared(a: Range | null, b: Range | null): Range | null {
  const range = overlapOf(a, b);
  return range !== null && range.high - range.low >= NARROWEST_BAND_K ? range : null;
}

/** Where the sources together put a crop's best root zone for emergence or rooting, C. */
export function bestC(crop: Crop): Range | null {
  const cardinal = crop.temperatures.map(({ bestLowC, bestHighC }) => ({
    low: bestLowC,
    high: bestHighC,
  }));
  return over(cardinal) ?? startOf(crop);
}
