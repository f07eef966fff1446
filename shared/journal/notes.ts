/** A grower's note in the journal: its text in pieces, one an entry, that follow each other at once. Pure. */
import { encodeUtf8 } from '../bytes';

/** Text of one entry: all of its payload. */
export const NOTE_PIECE_BYTES = 16;
/** A line or two; more would push readings out of the ring. */
export const NOTE_MAX_BYTES = 96;

/** A control character, or one that ends a line (Unicode 16.0, 23.1 and 5.8). */
const isUnseen = (char: string): boolean =>
  char < ' ' || (char >= '\u007f' && char <= '\u009f') || char === '\u2028' || char === '\u2029';

/** Whether `text` can be a note: not empty, not too long in UTF-8, and without what no screen shows on its line. */
export function isNote(text: string): boolean {
  for (const char of text) if (isUnseen(char)) return false;
  return text !== '' && encodeUtf8(text).length <= NOTE_MAX_BYTES;
}

/** `text`, a note that may be damaged or another program's, on one line: a space for each character that breaks it. */
export const onOneLine = (text: string): string =>
  Array.from(text, (char) => (isUnseen(char) ? ' ' : char)).join('');

/** `text` in pieces that each fit one entry; no character is cut in two. */
export function notePieces(text: string): readonly string[] {
  const pieces: string[] = [];
  let piece = '';
  let bytes = 0;
  for (const char of text) {
    const more = encodeUtf8(char).length;
    if (bytes + more > NOTE_PIECE_BYTES) {
      pieces.push(piece);
      piece = '';
      bytes = 0;
    }
    piece += char;
    bytes += more;
  }
  return [...pieces, piece];
}
