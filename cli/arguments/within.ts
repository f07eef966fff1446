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

/** Digits of a limit; 99.999 % is not 100 %. */
const digitsOf = (kind: QuantityKind): number => (kind === 'share' ? 6 : 3);

/** `0 °C to 50 °C`, in the units in use. */
export function rangeText(
  kind: QuantityKind,
  least: number,
  most: number,
  units: UnitSystem,
): string {
  return `${limitText(kind, least, 1, units)} to ${limitText(kind, most, -1, units)}`;
}

/**
 * A limit in the units in use, with the digits that a limit has; it is itself allowed, so that what is cut off is cut off
 * `inward`: 1 up, -1 down.
 */
function limitText(kind: QuantityKind, value: number, inward: 1 | -1, units: UnitSystem): string {
  const text = formatQuantity(kind, value, units);
  const [, unit] = /^-?[\d.]+ (\D+.*)$/.exec(text) ?? [];
  const [none, one] = ['0', '1'].map((number) => parseQuantity(kind, `${number} ${unit}`));
  if (!none?.ok || !one?.ok) return text;
  const number = (value - none.value) / (one.value - none.value);
  // Sums of floating-point numbers are out by so little.
  const exact = Number(number.toPrecision(9));
  const digits = digitsOf(kind);
  const step = 10 ** (Math.floor(Math.log10(Math.abs(exact))) + 1 - digits);
  const steps = inward === 1 ? Math.ceil(exact / step - 1e-6) : Math.floor(exact / step + 1e-6);
  return `${exact === 0 ? 0 : Number((steps * step).toPrecision(digits))} ${unit}`;
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
