/** Quantities below zero on the command line, which would be taken for options. */

/** A true minus sign: quantities are read with it, and no option begins with one. */
const MINUS = '\u2212';

/**
 * The words of a command line, `-1mS/cm` with a true minus: what stands there is then refused with the range that it is out of,
 * or taken, and not called an unknown option.
 */
export const withMinus = (words: readonly string[]): string[] =>
  words.map((word) => word.replace(/^-(?=(?:\d+\.?|\.)\d*\s*[^\d\s.])/, MINUS));
