/** What is asked of a water, wherever it is asked. */
import { ALKALINITY_MEQ_L } from '../../shared/physics/acid-dose';
import type { Reader } from './options';
import { numberWithin, within } from './within';

/** Less is not measured with what growers have; a tanker holds no more. */
const VOLUME_ML = { least: 10, most: 50_000_000 } as const;
/** From distilled water to what kills: a laboratory tells no more. */
const CHALK_MOST_MEQ_L = 40;

export const waterVolume = (next: string): Reader<number | null> =>
  within(
    'volume',
    VOLUME_ML.least,
    VOLUME_ML.most,
    'Less is not measured well, and no tanker holds more.',
    next,
  );

/** As far as acid mends it. */
export const mendableAlkalinity = (next: string): Reader<number | null> =>
  within(
    'alkalinity',
    ALKALINITY_MEQ_L.low,
    ALKALINITY_MEQ_L.high,
    'With less a drop of acid goes too far: mix the feed first, its own acidity is often enough. With more acid mends nothing: blend with rain or purified water.',
    next,
  );

/** Alkalinity or hardness that is only judged: none is a reading too. */
export const chalk = (kind: 'alkalinity' | 'hardness', next: string): Reader<number | null> =>
  within(
    kind,
    0,
    CHALK_MOST_MEQ_L,
    'No water that anybody pours on plants has more: check the unit.',
    next,
  );

/** A pH as a meter or a strip tells it, between two that it can be. */
export const ph = (
  range: { readonly low: number; readonly high: number },
  why: string,
  next: string,
): Reader<number | null> => numberWithin(range.low, range.high, why, next);
