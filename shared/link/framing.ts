/**
 * One message, one line: JSON text, `*`, eight lower-case hex digits of CRC-32/ISO-HDLC over the
 * bytes before the `*`, newline. Small stages, each usable alone: split bytes into lines, check a
 * line, and both together. Nothing here throws on any input.
 */
import { crc32, decodeUtf8, encodeUtf8 } from '../bytes';

const NEWLINE = 0x0a;
const RETURN = 0x0d;
const STAR = 0x2a;
const CRC_DIGITS = 8;

/** Bytes that a line carries around its JSON text: `*`, the CRC, the newline. */
export const LINE_OVERHEAD_BYTES = 1 + CRC_DIGITS + 1;

/** A line as it arrived. `checked`: it carried a CRC, and the CRC was right. */
export type ReceivedLine =
  | { readonly kind: 'text'; readonly text: string; readonly checked: boolean }
  | { readonly kind: 'damaged'; readonly why: 'crc' | 'too-long' | 'not-text' };

const crcText = (crc: number): string => crc.toString(16).padStart(CRC_DIGITS, '0');

const escapeUnit = (unit: string): string =>
  `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`;

/**
 * The line for `json`, ready to send. `json` is what `JSON.stringify` writes (no newline in it);
 * characters beyond ASCII leave escaped (`\u00b0`), so that any terminal can show a line.
 */
export function encodeLine(json: string): Uint8Array {
  const blank = `${json}*00000000\n`;
  const line = encodeUtf8(blank);
  // One byte for each UTF-16 unit means that all of it was ASCII.
  if (line.length !== blank.length) return encodeLine(json.replace(/[\u0080-\uffff]/g, escapeUnit));
  const star = line.length - LINE_OVERHEAD_BYTES;
  line.set(encodeUtf8(crcText(crc32(line, 0, star))), star + 1);
  return line;
}

/** Checks one line given without its newline. Null for an empty line, which means nothing. */
export function checkLine(bytes: Uint8Array): ReceivedLine | null {
  const end = bytes[bytes.length - 1] === RETURN ? bytes.length - 1 : bytes.length;
  if (end === 0) return null;
  const star = end - CRC_DIGITS - 1;
  const checked = bytes[star] === STAR;
  if (checked && decodeUtf8(bytes, star + 1, end) !== crcText(crc32(bytes, 0, star))) {
    return { kind: 'damaged', why: 'crc' };
  }
  const text = decodeUtf8(bytes, 0, checked ? star : end);
  return text === null ? { kind: 'damaged', why: 'not-text' } : { kind: 'text', text, checked };
}

/**
 * Cuts bytes that arrive in any pieces into lines of at most `maxBytes`, newline included. Calls
 * `take` with each line without its newline, as a view that is good during the call only; with null
 * for a longer one, once, when its newline has come. The buffer is allocated here and never grows.
 */
export function createLineSplitter(
  maxBytes: number,
  take: (line: Uint8Array | null) => void,
): (bytes: Uint8Array) => void {
  const buffer = new Uint8Array(maxBytes - 1);
  let used = 0;
  let tooLong = false;

  function keep(bytes: Uint8Array, from: number, to: number): void {
    tooLong ||= used + (to - from) > buffer.length;
    if (tooLong) return;
    buffer.set(bytes.subarray(from, to), used);
    used += to - from;
  }

  return (bytes) => {
    let from = 0;
    while (from < bytes.length) {
      const newline = bytes.indexOf(NEWLINE, from);
      keep(bytes, from, newline < 0 ? bytes.length : newline);
      if (newline < 0) return;
      const line = tooLong ? null : buffer.subarray(0, used);
      used = 0;
      tooLong = false;
      from = newline + 1;
      take(line);
    }
  };
}

/** Bytes in any pieces to checked lines: the two stages above in a row. */
export function createLineDecoder(
  maxBytes: number,
  take: (line: ReceivedLine) => void,
): (bytes: Uint8Array) => void {
  return createLineSplitter(maxBytes, (raw) => {
    const line: ReceivedLine | null =
      raw === null ? { kind: 'damaged', why: 'too-long' } : checkLine(raw);
    if (line !== null) take(line);
  });
}
