/** Examples in what a refusal says to do, in the units in use: they are written in metric ones. */
import { parseQuantity, type QuantityKind, type UnitSystem } from '.';

/** Metric units that examples are written in, with their kind and the unit that stands in its place. */
const UNITS: Readonly<Record<string, readonly [kind: QuantityKind, us: string]>> = {
  C: ['temperature', 'F'],
  K: ['temperature-difference', 'F'],
  g: ['mass', 'oz'],
  kg: ['mass', 'lb'],
  ml: ['volume', 'fl oz'],
  l: ['volume', 'gal'],
  mm: ['distance', 'in'],
  cm: ['distance', 'in'],
  m: ['distance', 'ft'],
  lux: ['illuminance', 'fc'],
};

/** `24C`, `60x60cm`, `16..22 C` and, in quotes, `"40 ml"`; no part of another word, nor of another unit. */
const QUANTITY =
  /(?<![\w.])(-?\d[\d.]*(?:(?:x|\.\.)\d[\d.]*)*)( ?)(C|K|kg|g|ml|l|mm|cm|m|lux)(?![\w/])/g;

/** What is written in US units as well needs no other. */
const IN_BOTH = /\d ?(?:F|in|ft|fl oz|oz|gal|lb|fc)(?![\w/])/;

/** `number` of `unit` in the one for `us`, with two digits: an example is a round number. */
function converted(number: string, kind: QuantityKind, unit: string, us: string): string {
  const [value, none, one] = [`${number} ${unit}`, `0 ${us}`, `1 ${us}`].map((text) =>
    parseQuantity(kind, text),
  );
  if (!value?.ok || !none?.ok || !one?.ok) return number;
  return String(Number(((value.value - none.value) / (one.value - none.value)).toPrecision(2)));
}

/** `text` as it is for metric units, and where it has both; else with its examples converted. */
export function examplesIn(text: string, units: UnitSystem): string {
  if (units === 'metric' || IN_BOTH.test(text)) return text;
  return text.replace(QUANTITY, (whole: string, numbers: string, space: string, unit: string) => {
    const [kind, us] = UNITS[unit] ?? [];
    if (kind === undefined || us === undefined) return whole;
    return `${numbers.replace(/-?\d+(?:\.\d+)?/g, (number) => converted(number, kind, unit, us))}${space}${us}`;
  });
}
