/** Base64 as in RFC 4648 section 4: standard alphabet, padding required, nothing else accepted. */
import { textOf } from './text-of';

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const PADDING = 0x3d;
const NO_DIGIT = 255;

const CODES = new Uint8Array(64);
const DIGITS = new Uint8Array(128).fill(NO_DIGIT);
for (let digit = 0; digit < 64; digit++) {
  const code = ALPHABET.charCodeAt(digit);
  CODES[digit] = code;
  DIGITS[code] = digit;
}

/** Base64 text of `bytes[start..end)`; the range is clipped to the array. */
export function toBase64(bytes: Uint8Array, start = 0, end = bytes.length): string {
  const last = Math.min(end, bytes.length);
  const from = Math.max(start, 0);
  const text = new Uint8Array(Math.ceil(Math.max(last - from, 0) / 3) * 4);
  let size = 0;
  for (let i = from; i < last; i += 3) {
    const left = last - i;
    const group =
      ((bytes[i] ?? 0) << 16) |
      ((left > 1 ? (bytes[i + 1] ?? 0) : 0) << 8) |
      (left > 2 ? (bytes[i + 2] ?? 0) : 0);
    text[size++] = CODES[group >> 18] ?? 0;
    text[size++] = CODES[(group >> 12) & 63] ?? 0;
    text[size++] = left > 1 ? (CODES[(group >> 6) & 63] ?? 0) : PADDING;
    text[size++] = left > 2 ? (CODES[group & 63] ?? 0) : PADDING;
  }
  return textOf(text);
}

/**
 * The bytes of a base64 text, or null when it is not exactly what `toBase64` writes: other
 * characters, white space, missing padding, padding inside, or stray bits before the padding.
 */
export function fromBase64(text: string): Uint8Array | null {
  const length = text.length;
  if (length % 4 !== 0) return null;
  const bytes = new Uint8Array((length / 4) * 3);
  let size = 0;
  let bits = 0;
  let held = 0;
  let padding = 0;
  for (let i = 0; i < length; i++) {
    const unit = text.charCodeAt(i);
    const digit = DIGITS[unit] ?? NO_DIGIT;
    if (unit === PADDING && padding < 2) {
      padding++;
      continue;
    }
    if (padding > 0 || digit === NO_DIGIT) return null;
    held = ((held << 6) | digit) & 0xfff;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      bytes[size++] = held >> bits;
    }
  }
  return (held & ((1 << bits) - 1)) === 0 ? bytes.slice(0, size) : null;
}
