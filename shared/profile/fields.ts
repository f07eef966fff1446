/**
 * The building blocks of the profile image. A field knows how its value is written, read and
 * checked, so that the three cannot drift apart. Reading never throws: what makes no sense marks
 * the cursor as damaged and gives a harmless value.
 */
import { decodeUtf8, encodeUtf8 } from '../bytes/utf8';

/**
 * Told about each value that breaks its range, both ends included; for texts and lists that of the
 * length. `path` is keys and indexes from the profile down, joined by points: `stages.2.band.lowC`.
 */
export type Report = (
  path: string,
  reason: FieldReason,
  found?: number,
  min?: number,
  max?: number,
) => void;
export type FieldReason = 'out-of-range' | 'wrong-count' | 'bad-text';

/** Where reading has come to in an image. */
export interface Cursor {
  readonly bytes: Uint8Array;
  at: number;
  readonly end: number;
  /** Version of the image that is read. */
  readonly version: number;
  damaged: boolean;
}

export interface Field<T> {
  write(to: number[], value: T): void;
  read(from: Cursor): T;
  check(value: T, path: string, report: Report): void;
}

/** Fractions of a grid step that arithmetic in doubles may add or lose. */
const ROUNDING = 1e-9;

/** True when `value` is below `least` by more than rounding; true for NaN as well. */
export const isBelow = (value: number, least: number): boolean => !(value >= least - ROUNDING);

/**
 * A number from `min` to `max` as a little-endian integer of `width` bytes that counts steps of
 * 1/`scale`. Two's complement when the range goes below zero.
 */
export const number = (
  width: 1 | 2 | 4,
  scale: number,
  min: number,
  max: number,
): Field<number> => ({
  write(to, value) {
    let rest = Math.round(value * scale);
    for (let i = 0; i < width; i++) {
      to.push(rest & 0xff);
      rest = Math.floor(rest / 256);
    }
  },
  read(from) {
    let steps = 0;
    for (let i = 0; i < width; i++) steps += readByte(from) * 256 ** i;
    if (min < 0 && steps >= 256 ** width / 2) steps -= 256 ** width;
    return steps / scale;
  },
  check(value, path, report) {
    if (isBelow(value, min) || isBelow(max, value)) report(path, 'out-of-range', value, min, max);
  },
});

/** One of a fixed list of words, by its place in the list. */
export const word = <T extends string>(words: readonly [T, ...T[]]): Field<T> => ({
  write(to, value) {
    to.push(words.indexOf(value));
  },
  read(from) {
    const found = words[readByte(from)];
    if (found === undefined) from.damaged = true;
    return found ?? words[0];
  },
  check() {},
});

/**
 * A line of UTF-8 text, 1 to `maxBytes` bytes. Control characters are refused: these texts are shown
 * on terminals, which would obey them.
 */
export const text = (maxBytes: number): Field<string> => ({
  write(to, value) {
    const bytes = encodeUtf8(value);
    to.push(bytes.length, ...bytes);
  },
  read(from) {
    const end = from.at + 1 + readByte(from);
    const found = end > from.end ? null : decodeUtf8(from.bytes, from.at, end);
    from.at = end;
    if (found === null) from.damaged = true;
    return found ?? '';
  },
  check(value, path, report) {
    checkCount(encodeUtf8(value).length, maxBytes, path, report);
    for (let i = 0; i < value.length; i++) {
      const code = value.charCodeAt(i);
      if (code < 0x20 || (code > 0x7e && code < 0xa0)) report(path, 'bad-text', code);
    }
  },
});

/** A value that may be left out. */
export const optional = <T>(field: Field<T>): Field<T | null> => ({
  write(to, value) {
    to.push(value === null ? 0 : 1);
    if (value !== null) field.write(to, value);
  },
  read(from) {
    const present = readByte(from);
    if (present > 1) from.damaged = true;
    return present === 1 ? field.read(from) : null;
  },
  check(value, path, report) {
    if (value !== null) field.check(value, path, report);
  },
});

/** A value that images have from `version` on; `before` is what an older one means. */
export const since = <T>(version: number, field: Field<T>, before: T): Field<T> => ({
  ...field,
  read: (from) => (from.version < version ? before : field.read(from)),
});

/** One to `max` values of the same kind. */
export const list = <T>(field: Field<T>, max: number): Field<readonly T[]> => ({
  write(to, values) {
    to.push(values.length);
    for (const value of values) field.write(to, value);
  },
  read(from) {
    const values: T[] = [];
    // A count beyond `max` is a damaged or hostile image: its content is not worth reading.
    for (let left = readByte(from); left > 0 && !from.damaged; left--) {
      if (values.length === max) from.damaged = true;
      else values.push(field.read(from));
    }
    return values;
  },
  check(values, path, report) {
    checkCount(values.length, max, path, report);
    values.forEach((value, i) => {
      field.check(value, `${path}.${i}`, report);
    });
  },
});

/** Several named fields, in the order of `fields`: that order is the format. */
export const record = <T extends object>(
  fields: {
    readonly [K in keyof T]-?: Field<T[K]>;
  },
): Field<T> => {
  const keys: (keyof T & string)[] = [];
  for (const key in fields) keys.push(key);
  return {
    write(to, value) {
      for (const key of keys) fields[key].write(to, value[key]);
    },
    read(from) {
      const value: Partial<T> = {};
      for (const key of keys) value[key] = fields[key].read(from);
      // Complete: the type of `fields` demands every key of T.
      return value as T;
    },
    check(value, path, report) {
      for (const key of keys)
        fields[key].check(value[key], path === '' ? key : `${path}.${key}`, report);
    },
  };
};

function checkCount(count: number, max: number, path: string, report: Report): void {
  if (count < 1 || count > max) report(path, 'wrong-count', count, 1, max);
}

function readByte(from: Cursor): number {
  if (from.at >= from.end) from.damaged = true;
  return from.at < from.end ? (from.bytes[from.at++] ?? 0) : 0;
}
