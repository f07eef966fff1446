/** Quantities and numbers that must lie within a range: what is refused is told with the range, and with the reason for it. */
import {
  formatQuantity,
  parseQuantity,
  type QuantityKind,
  type UnitSystem,
} from '../../shared/units';
import { usage } from '../failure';
import { type Reader, shortened } from './options';
import { plainNumber } from './quantity';

/** 99.999 % is not 100 %. */
const LIMIT_DIGITS = 6;

/** `0 °C to 50 °C`, in the units in use. */
export function rangeText(
  kind: QuantityKind,
  least: number,
  most: number,
  units: UnitSystem,
): string {
  // A limit is what it is: the decimals that a reading has say nothing of it.
  const [from, to] = [least, most].map((value) =>
    kind === 'share'
      ? `${Number((value * 100).toPrecision(LIMIT_DIGITS))} %`
      : formatQuantity(kind, value, units).replace(/\.0+ /, ' '),
  );
  return `${from} to ${to}`;
}

/**
 * A quantity from `least` to `most`, both allowed, in the program's own unit; or null. What is outside, or is no such
 * quantity, is refused with the range, and with `why` it is that.
 */
export const within =
  (
    kind: QuantityKind,
    least: number,
    most: number,
    why: string,
    next: string,
  ): Reader<number | null> =>
  (typed, flag, units) => {
    if (typeof typed !== 'string') return null;
    const parsed = parseQuantity(kind, typed);
    const range = rangeText(kind, least, most, units);
    if (!parsed.ok) {
      throw usage(`${flag}: ${parsed.why} It is ${range}. ${why}`, next, 'not-a-quantity');
    }
    if (parsed.value >= least && parsed.value <= most) return parsed.value;
    throw usage(
      `${flag} ${shortened(typed)} is out of range: ${range}. ${why}`,
      next,
      'out-of-range',
    );
  };

/** A bare number from `least` to `most`, or null; refused as a quantity is. `unit`: what it counts, where it counts any. */
export const numberWithin =
  (least: number, most: number, why: string, next: string, unit = ''): Reader<number | null> =>
  (typed, flag) => {
    if (typeof typed !== 'string') return null;
    const value = plainNumber(typed.trim());
    if (value >= least && value <= most) return value;
    const range = `${least} to ${most}${unit === '' ? '' : ` ${unit}`}`;
    const what = Number.isNaN(value) ? 'is no plain number' : 'is out of range';
    throw usage(`${flag} ${shortened(typed)} ${what}: ${range}. ${why}`, next, 'out-of-range');
  };
