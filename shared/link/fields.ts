/** Kinds of parameter fields: what an untrusted JSON value must be, and the words that say so. */

/** One kind of value. `says` completes the sentence "`samples` must be ...". */
export interface Field<T> {
  readonly says: string;
  readonly holds: (value: unknown) => value is T;
}

const numberWhere =
  (passes: (value: number) => boolean) =>
  (value: unknown): value is number =>
    typeof value === 'number' && passes(value);

/** A whole number from `min` to `max`. */
export const whole = (min: number, max: number): Field<number> => ({
  says: `a whole number from ${min} to ${max}`,
  holds: numberWhere((value) => Number.isInteger(value) && value >= min && value <= max),
});

/** Any number from `min` to `max`. */
export const number = (min: number, max: number): Field<number> => ({
  says: `a number from ${min} to ${max}`,
  // JSON has no NaN, and both comparisons are false for one.
  holds: numberWhere((value) => value >= min && value <= max),
});

export const truth: Field<boolean> = {
  says: 'true or false',
  holds: (value): value is boolean => typeof value === 'boolean',
};

/** One of a few words. */
export const oneOf = <T extends string>(words: readonly T[]): Field<T> => ({
  says: `one of ${words.join(', ')}`,
  holds: (value): value is T => words.some((word) => word === value),
});

/** Base64 text of at most `maxBytes` bytes; whether its digits are sound, the decoder says. */
export const base64 = (maxBytes: number): Field<string> => ({
  says: `base64 text of at most ${maxBytes} bytes`,
  holds: (value): value is string =>
    typeof value === 'string' && value.length <= Math.ceil(maxBytes / 3) * 4,
});

/** The same, or null. */
export const orNull = <T>(field: Field<T>): Field<T | null> => ({
  says: `${field.says}, or null`,
  holds: (value): value is T | null => value === null || field.holds(value),
});

/** The same, or left out. */
export const optional = <T>(field: Field<T>): Field<T | undefined> => ({
  says: `${field.says}, or left out`,
  holds: (value): value is T | undefined => value === undefined || field.holds(value),
});
