/** Quantities as people write them, to numbers in the program's own units. Nothing here throws. */
import { accept, decline, type Verdict } from '../physics/verdict';
import { KINDS, plainSpelling, QUANTITY_KINDS, type QuantityKind, type Unit } from './kinds';

/** Longer is no quantity; a refusal quotes at most this much of it. */
const LONGEST_QUOTE = 40;

/** Units by kind and plain spelling. */
const UNITS: ReadonlyMap<QuantityKind, ReadonlyMap<string, Unit>> = new Map(
  QUANTITY_KINDS.map((kind) => [
    kind,
    new Map(
      KINDS[kind].units.flatMap((unit) =>
        [unit.symbol, ...unit.also].map((name): [string, Unit] => [plainSpelling(name), unit]),
      ),
    ),
  ]),
);

/**
 * The value of `text` as a quantity of `kind`, in C, K, g, ml, mS/cm, s, mm, meq/l, ohm or as a share 0..1.
 * A number with a decimal point, then its unit: `25 C`, `77 F`, `1.2 mS/cm`, `500 ppm500`,
 * `2 h 30 min`, `30 %`. Refuses, with what to write instead: no number, no unit, a unit of something
 * else, a bare ppm, a decimal comma, and values that cannot be (a negative weight).
 */
export function parseQuantity(kind: QuantityKind, text: string): Verdict<number> {
  const { name, example, least } = KINDS[kind];
  const trimmed = text.trim();
  const parsed = kind === 'duration' ? parseParts(trimmed) : parseOne(kind, trimmed);
  if (!parsed.ok) return parsed;
  const value = parsed.value;
  if (!Number.isFinite(value)) {
    return decline(`${quoted(trimmed)} is too large a number. Write for example "${example}".`);
  }
  if (least !== undefined && value < least) {
    return decline(
      kind === 'temperature'
        ? `${quoted(trimmed)} is colder than absolute zero. Check the number and its unit.`
        : `${capital(name)} cannot be less than 0, as ${quoted(trimmed)} is. Check the sign.`,
    );
  }
  return accept(value);
}

/** One number and one unit. */
function parseOne(kind: QuantityKind, text: string): Verdict<number> {
  const number = leadingNumber(kind, text);
  if (!number.ok) return number;
  const written = text.slice(number.value.length).trim();
  const unit = findUnit(kind, text, number.value.number, written);
  return unit.ok ? accept(toValue(number.value.number, unit.value)) : unit;
}

/** A duration may have several parts, longest unit first: `2 d 4 h`. */
function parseParts(text: string): Verdict<number> {
  let rest = text;
  let seconds = 0;
  let lastFactor = Number.POSITIVE_INFINITY;
  do {
    const number = leadingNumber('duration', rest);
    if (!number.ok) return number;
    if (/^[+\u2212-]/.test(rest) && rest !== text) {
      return decline(`${quoted(text)} has a sign in the middle. Write for example "2 h 30 min".`);
    }
    const tail = rest.slice(number.value.length);
    const written = /^[^\d+.−-]*/.exec(tail)?.[0] ?? '';
    const unit = findUnit('duration', text, number.value.number, written.trim());
    if (!unit.ok) return unit;
    if (unit.value.factor >= lastFactor) {
      return decline(
        `${quoted(text)} is out of order. Write weeks, then d, h, min and s, each once: "2 h 30 min".`,
      );
    }
    lastFactor = unit.value.factor;
    seconds += toValue(number.value.number, unit.value);
    rest = tail.slice(written.length);
  } while (rest !== '');
  return accept(seconds);
}

function toValue(number: number, unit: Unit): number {
  // Dividing by 500 is exact where multiplying by 0.002 is not; the same for % and uS.
  const scaled = unit.factor < 1 ? number / (1 / unit.factor) : number * unit.factor;
  return (unit.offset ?? 0) + scaled;
}

/** The number `text` begins with, and how many characters it takes. */
function leadingNumber(
  kind: QuantityKind,
  text: string,
): Verdict<{ readonly number: number; readonly length: number }> {
  const { name, example } = KINDS[kind];
  if (text === '') return decline(`The ${name} is missing. Write for example "${example}".`);
  const digits = /^([+\u2212-]?)\s*(\d+(?:\.\d*)?|\.\d+)/.exec(text);
  if (digits === null) {
    return decline(`${quoted(text)} does not begin with a number. Write for example "${example}".`);
  }
  const after = text.slice(digits[0].length);
  if (/^,\d/.test(after)) {
    return decline(
      `${quoted(text)} has a comma. Write decimals with a point and thousands without a mark: "${example}".`,
    );
  }
  if (/^e[+-]?\d/i.test(after) || /^\./.test(after)) {
    return decline(
      `${quoted(text)} is not a plain number. Write it out, for example "${example}".`,
    );
  }
  const size = Number(digits[2]);
  const number = digits[1] === '' || digits[1] === '+' ? size : -size;
  return accept({ number, length: digits[0].length });
}

function findUnit(
  kind: QuantityKind,
  text: string,
  number: number,
  written: string,
): Verdict<Unit> {
  const { name, example, units } = KINDS[kind];
  const choice = orList(units.map((unit) => unit.symbol));
  const spelling = plainSpelling(written);
  if (spelling === '') {
    return decline(
      `${quoted(text)} has no unit. Write ${choice} after it, for example "${example}".`,
    );
  }
  const found = UNITS.get(kind)?.get(spelling);
  if (found) return accept(found);
  if (spelling === 'ppm' || spelling === 'mg/l') {
    const bare = whyNotBare(kind, number, spelling);
    if (bare !== null) return decline(bare);
  }
  if (spelling.startsWith('ppm')) return decline(whyNotPpm(kind, number, spelling));
  const other = QUANTITY_KINDS.find((one) => UNITS.get(one)?.has(spelling));
  if (other !== undefined) {
    return decline(
      `${quoted(written)} is a unit of ${KINDS[other].name}, not of ${name}. ` +
        `Write ${choice}, for example "${example}".`,
    );
  }
  return decline(
    `${quoted(written)} is not a unit known here. ${capital(name)} is written in ${choice}, for example "${example}".`,
  );
}

/** Milligrams of what: chalk and bicarbonate differ by a fifth. Null for a kind that is not told so. */
function whyNotBare(kind: QuantityKind, number: number, spelling: string): string | null {
  if (kind !== 'alkalinity' && kind !== 'hardness') return null;
  const asBicarbonate = kind === 'alkalinity' ? `, or "${number} mg/l HCO3" for bicarbonate` : '';
  return `"${spelling}" alone does not say of what. Laboratories mean calcium carbonate, as a rule: write "${number} mg/l CaCO3"${asBicarbonate}.`;
}

/** Meters turn EC into ppm by three different factors, so ppm alone is not a strength. */
function whyNotPpm(kind: QuantityKind, number: number, spelling: string): string {
  if (kind !== 'ec') {
    return `ppm is a unit of EC, not of ${KINDS[kind].name}. Write for example "${KINDS[kind].example}".`;
  }
  if (spelling !== 'ppm') {
    return `The ppm scales are 500, 640 and 700: ${quoted(spelling)} is none of them. Write for example "${number} ppm500", or the EC in mS/cm.`;
  }
  const low = (number / 700).toFixed(2);
  const high = (number / 500).toFixed(2);
  return (
    `"ppm" alone does not say which scale the meter uses (500, 640 or 700): ${number} ppm can be ` +
    `${low} to ${high} mS/cm. Write "${number} ppm500", "${number} ppm640" or "${number} ppm700", or the EC in mS/cm.`
  );
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function orList(words: readonly string[]): string {
  const last = words[words.length - 1] ?? '';
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} or ${last}`;
}

function quoted(text: string): string {
  const short = text.length > LONGEST_QUOTE ? `${text.slice(0, LONGEST_QUOTE)}...` : text;
  return JSON.stringify(short);
}
