/** Quantities that must lie within a range, with the reason for it. */
import { formatQuantity, parseQuantity, type QuantityKind } from '../../shared/units';
import { usage } from '../failure';
import type { Reader } from './options';

/**
 * A quantity from `least` to `most`, both allowed, in the program's own unit; or null. One outside is refused with
 * the range, and with `why` it is that.
 */
export const within =
  (
    kind: QuantityKind,
    least: number,
    most: number,
    why: string,
    next: string,
  ): Reader<number | null> =>
  (typed, flag) => {
    if (typeof typed !== 'string') return null;
    const parsed = parseQuantity(kind, typed);
    if (!parsed.ok) throw usage(parsed.why, next, 'not-a-quantity');
    if (parsed.value >= least && parsed.value <= most) return parsed.value;
    const range = `${formatQuantity(kind, least, 'metric')} to ${formatQuantity(kind, most, 'metric')}`;
    throw usage(`${flag} ${typed} is out of range: ${range}. ${why}`, next, 'out-of-range');
  };
