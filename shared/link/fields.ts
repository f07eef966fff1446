/** Kinds of parameter fields: what an untrusted JSON value must be. */

/** Whether a value is of one kind. */
export type Check<T> = (value: unknown) => value is T;

/** Any number from `min` to `max`. JSON has no NaN, and both comparisons are false for one. */
export const number =
  (min: number, max: number): Check<number> =>
  (value): value is number =>
    typeof value === 'number' && value >= min && value <= max;

/** A whole number from `min` to `max`. */
export const whole = (min: number, max: number): Check<number> => {
  const holds = number(min, max);
  return (value): value is number => holds(value) && Number.isInteger(value);
};

/** True or false. */
export const truth: Check<boolean> = (value): value is boolean => typeof value === 'boolean';

/** One of a few words. */
export const oneOf =
  <T extends string>(words: readonly T[]): Check<T> =>
  (value): value is T =>
    words.some((word) => word === value);

/** Base64 text of at most `maxBytes` bytes; whether its digits are sound, the decoder says. */
export const base64 =
  (maxBytes: number): Check<string> =>
  (value): value is string =>
    typeof value === 'string' && value.length <= Math.ceil(maxBytes / 3) * 4;

/** The same, or null. */
export const orNull =
  <T>(holds: Check<T>): Check<T | null> =>
  (value): value is T | null =>
    value === null || holds(value);

/** The same, or left out. */
export const optional =
  <T>(holds: Check<T>): Check<T | undefined> =>
  (value): value is T | undefined =>
    value === undefined || holds(value);
