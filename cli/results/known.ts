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
/** No thermometer of a grower tells hundredths. */
const tenths: Known = (value) => Math.round(value * 10) / 10;

/** By the end of a name, the first that fits. What stands within takes it over: `low` and `high` of `rootZoneC`. */
const BY_UNIT: readonly (readonly [end: RegExp, known: Known])[] = [
  // Standards are sold, and meters read, to four digits.
  [/^(bottle|true|read)MsCm$/, digits(4)],
  [/[a-z]C$/, tenths],
  // Measured, whole or not.
  [/(Ml|Mm|L|G|Umol|Mol|MolM2D|Kpa|MsCm|Ec|M|^lux|^total|^ppm\d+)$/, USUAL],
];

const ofName = (name: string): Known | null => BY_UNIT.find(([end]) => end.test(name))?.[1] ?? null;

/** `value` of a result with the digits that are known. `known`: by the unit of the name it stands under, where that has one. */
export function asKnown(value: unknown, known: Known | null = null): unknown {
  if (typeof value === 'number') {
    if (known !== null) return known(value);
    return Number.isInteger(value) ? value : USUAL(value);
  }
  if (Array.isArray(value)) return value.map((one) => asKnown(one, known));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, one]) => [name, asKnown(one, ofName(name) ?? known)]),
  );
}
