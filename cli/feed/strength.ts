/** EC as it is typed, and the slips that growers make with its units. */
import { PUREST_MS_CM } from '../../shared/physics/feed';
import { PROFILE_LIMITS } from '../../shared/profile/limits';
import { parseQuantity } from '../../shared/units';
import { type Reader, shortened } from '../arguments/options';
import { usage } from '../failure';

/** Stronger than any water or mixed feed: half of sea water. It was meant as uS/cm, or ppm. */
const READ_MAX_MS_CM = 25;
/** Weaker than any feed: rain has as much. It was meant as mS/cm. */
const FEED_MIN_MS_CM = 0.05;

/** A thousand uS/cm are one mS/cm. */
const US_PER_MS = 1000;

/** What the number would be in another unit, where that makes a feed; else empty. */
function meant(typed: string, maxMsCm: number): string {
  const number = Number.parseFloat(typed);
  const isFeed = (ms: number): boolean => ms >= FEED_MIN_MS_CM && ms <= maxMsCm;
  const other = isFeed(number) ? `${number} mS/cm` : `${number} uS/cm`;
  return isFeed(number) || isFeed(number / US_PER_MS)
    ? ` Did you mean ${other}, or a ppm scale?`
    : '';
}

const METERS = 'Meters show mS/cm, uS/cm (a thousandth of it) or one of the ppm scales.';

/** An EC between two that can be; what is out of them is told with the slip it probably was. */
const ecBetween =
  (minMsCm: number, maxMsCm: number, what: string, next: string): Reader<number | null> =>
  (typed, flag) => {
    if (typeof typed !== 'string') return null;
    const range = `${minMsCm} to ${maxMsCm} mS/cm. ${METERS}`;
    const parsed = parseQuantity('ec', typed);
    if (!parsed.ok) throw usage(`${flag}: ${parsed.why} It is ${range}`, next, 'not-a-quantity');
    const { value } = parsed;
    if (value >= minMsCm && value <= maxMsCm) return value;
    const hint = `Check the unit.${meant(typed, maxMsCm)} ${next}`;
    throw value > maxMsCm
      ? usage(`${flag} ${shortened(typed)} is more than ${what}: ${range}`, hint)
      : usage(`${flag} ${shortened(typed)} is hardly anything, and no feed: ${range}`, hint);
  };

/** What a meter shows, whatever it hangs in. */
export const shownEc = (next: string): Reader<number | null> =>
  ecBetween(0, READ_MAX_MS_CM, 'any feed has', next);

/**
 * The EC of water, or of what is in a reservoir: what is mixed goes by it. None is right for purified water; hardly any is
 * a slip of the unit.
 */
export const readEc =
  (next: string): Reader<number | null> =>
  (typed, flag, units) => {
    const ecMsCm = shownEc(next)(typed, flag, units);
    if (ecMsCm === null || ecMsCm === 0 || ecMsCm >= PUREST_MS_CM) return ecMsCm;
    throw usage(
      `${flag} ${shortened(String(typed))} is purer than rain or purified water: 0 mS/cm, or ${PUREST_MS_CM} to ${READ_MAX_MS_CM} mS/cm. ${METERS}`,
      `Check the unit.${meant(String(typed), READ_MAX_MS_CM)} Water that is purer still counts as 0 mS/cm.`,
      'purer-than-water',
    );
  };

/** What a stock adds. */
export const gainEc = (next: string): Reader<number | null> =>
  ecBetween(FEED_MIN_MS_CM, READ_MAX_MS_CM, 'any feed has', next);

/** The EC that a feed shall have. */
export const targetEc = (next: string): Reader<number | null> =>
  ecBetween(FEED_MIN_MS_CM, PROFILE_LIMITS.feedEcMax, 'any crop here is given', next);

/** No injector, and no label, thins further. */
const RATIO_MOST = 2_000;

/** The `100` of a dilution such as 1:100. */
export const dilution =
  (next: string): Reader<number | null> =>
  (typed, flag) => {
    if (typeof typed !== 'string') return null;
    const ratio = Number(/^1:(\d+(?:\.\d+)?)$/.exec(typed.trim())?.[1]);
    if (ratio >= 1 && ratio <= RATIO_MOST) return ratio;
    throw usage(
      `${flag} ${shortened(typed)} is no dilution: 1:1 to 1:${RATIO_MOST}. It is one part of stock in so many of feed, as on the label.`,
      next,
    );
  };
