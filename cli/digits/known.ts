/**
 * How many digits of a figure are known: the one place where results that are reckoned lose the others. Readings and tables
 * are good to some per cent, so three digits are what there is, with one to spare; a name that ends in its unit may say
 * otherwise. Whole numbers are counts, days and times, and stay as they are, but where a unit says that they are measured.
 */

type Known = (value: number) => number;

const digits =
  (count: number): Known =>
  (value) =>
    Number(value.toPrecision(count));
const USUAL = digits(3);
/** To so many decimals. */
const decimals =
  (count: number): Known =>
  (value) =>
    Math.round(value * 10 ** count) / 10 ** count;
/** No thermometer of a grower tells hundredths. */
const TENTHS = decimals(1);

/** What a meter within 15 % tells, and all that follows from it. */
export const roughly: Known = digits(2);
/** Where trials, an instrument or rare counts leave it open by some of them. */
export const WHOLE = decimals(0);

/** Counts this far apart are daily ones, made at another hour. */
const DAILY_D = 1.5;
/** The least step in which days are known that come of counts `apartDays` apart: what came between was booked on the later. */
export const stepOfDays = (apartDays: number): number => (apartDays <= DAILY_D ? 0.1 : 1);
/** Days in such steps. */
export const daysKnown = (apartDays: number): Known => (apartDays <= DAILY_D ? TENTHS : WHOLE);

/** By the end of a name, the first that fits. What stands within takes it over: `low` and `high` of `rootZoneC`. */
const BY_UNIT: readonly (readonly [end: RegExp, known: Known])[] = [
  // Standards are sold, and meters read, to four digits.
  [/^(bottle|true|read)MsCm$/, digits(4)],
  // Other trials move it by 1 to 3 K.
  [/^baseC$/, WHOLE],
  [/[a-z]C$/, TENTHS],
  // A hygrometer leaves some hundredths open, and a meter some tenths of a per cent.
  [/Kpa$/, decimals(2)],
  [/^humidityShare$/, decimals(2)],
  [/^errorShare$/, decimals(3)],
  // Lamps of one kind differ by more.
  [/^lux$/, roughly],
  [/^meanPercent$/, WHOLE],
  // Measured, whole or not.
  [/(Ml|Mm|L|G|Umol|Mol|MolM2D|MsCm|Ec|M|^total|^ppm\d+)$/, USUAL],
];

const ofName = (name: string): Known | null => BY_UNIT.find(([end]) => end.test(name))?.[1] ?? null;

/** A result with the digits that are known: for programs, and for who makes a text of it. */
export function asKnown<Result>(result: Result): Result {
  // Sound: numbers become numbers, and all else stays.
  return rounded(result, null) as Result;
}

/** `known`: by the unit of the name it stands under, where that has one. */
function rounded(value: unknown, known: Known | null): unknown {
  if (typeof value === 'number') {
    if (known !== null) return known(value);
    return Number.isInteger(value) ? value : USUAL(value);
  }
  if (Array.isArray(value)) return value.map((one) => rounded(one, known));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, one]) => [name, rounded(one, ofName(name) ?? known)]),
  );
}
