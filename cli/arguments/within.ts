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
/** More digits than a limit has are the sums of floating-point numbers. */
const DIGITS_MOST = 9;

/** `0 °C to 50 °C`, in the units in use. */
export function rangeText(
  kind: QuantityKind,
  least: number,
  most: number,
  units: UnitSystem,
): string {
  const [low, high] = [unitOf(kind, least, units), unitOf(kind, most, units)];
  if (low === null || high === null) {
    return `${formatQuantity(kind, least, units)} to ${formatQuantity(kind, most, units)}`;
  }
  let digits = digitsOf(kind);
  let ends = [cut(least, low, 'up', digits), cut(most, high, 'down', digits)] as const;
  // A range narrower than its digits would end before it begins.
  while (ends[0].value > ends[1].value && digits < DIGITS_MOST) {
    digits += 1;
    ends = [cut(least, low, 'up', digits), cut(most, high, 'down', digits)];
  }
  return `${ends[0].text} to ${ends[1].text}`;
}

interface ScaleUnit {
  readonly name: string;
  /** Both in the program's own unit: temperatures begin elsewhere. */
  readonly none: number;
  readonly one: number;
}

/** The unit that `value` is shown in; null where it is not read back, as a time in days and hours. */
function unitOf(kind: QuantityKind, value: number, units: UnitSystem): ScaleUnit | null {
  const [, name] = /^-?[\d.]+ (\D+.*)$/.exec(formatQuantity(kind, value, units)) ?? [];
  if (name === undefined) return null;
  const [none, one] = ['0', '1'].map((number) => parseQuantity(kind, `${number} ${name}`));
  return none?.ok && one?.ok ? { name, none: none.value, one: one.value } : null;
}

/** A limit with so many digits, which is itself allowed: what is cut off is cut off inward. `value` as it is read back. */
function cut(
  limit: number,
  { name, none, one }: ScaleUnit,
  inward: 'up' | 'down',
  digits: number,
): { readonly text: string; readonly value: number } {
  const exact = Number(((limit - none) / (one - none)).toPrecision(DIGITS_MOST));
  const step = 10 ** (Math.floor(Math.log10(Math.abs(exact))) + 1 - digits);
  const steps = inward === 'up' ? Math.ceil(exact / step - 1e-6) : Math.floor(exact / step + 1e-6);
  const number = exact === 0 ? 0 : Number((steps * step).toPrecision(digits));
  return { text: `${number} ${name}`, value: none + number * (one - none) };
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
