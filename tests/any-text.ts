/** Random text: of any characters that there are. */
import fc from 'fast-check';

const [SURROGATES_FROM, SURROGATES_TO] = [0xd800, 0xdfff];
const LAST = 0x10ffff;
const ASCII_LAST = 0x7f;

/**
 * A character for `fc.string({ unit })`: any code point but surrogates (Unicode 16.0, D76), plain ones often. The
 * library's own unit for that makes a table of all 1,112,064 at each use, which takes seconds.
 */
export const anyCharacter = fc
  .oneof(
    fc.integer({ min: 0, max: ASCII_LAST }),
    fc.integer({ min: 0, max: SURROGATES_FROM - 1 }),
    fc.integer({ min: SURROGATES_TO + 1, max: LAST }),
  )
  .map((code) => String.fromCodePoint(code));
