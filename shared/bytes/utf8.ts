/**
 * Text as UTF-8 bytes and back (RFC 3629), without the host's encoder: the board has none. ASCII,
 * which is nearly everything, goes straight; the rest by way of the language's percent-encoding,
 * which is UTF-8 too (ECMA-262, `encodeURIComponent`).
 */
import { textOf } from './text-of';

const ASCII_END = 0x80;
const PERCENT = 0x25;

/** UTF-8 bytes of `text`. A lone surrogate becomes U+FFFD, as everywhere on the web. */
export function encodeUtf8(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < bytes.length; i++) {
    const unit = text.charCodeAt(i);
    if (unit >= ASCII_END) return encodeAny(text);
    bytes[i] = unit;
  }
  return bytes;
}

/**
 * The text of `bytes[start..end)` (clipped to the array), or null when it is not well-formed UTF-8:
 * cut off, overlong, a surrogate, or beyond U+10FFFF. A byte order mark is kept.
 */
export function decodeUtf8(bytes: Uint8Array, start = 0, end = bytes.length): string | null {
  const part = bytes.subarray(Math.max(start, 0), Math.max(end, 0));
  return isAscii(part) ? textOf(part) : decodeAny(part);
}

function isAscii(bytes: Uint8Array): boolean {
  for (const byte of bytes) if (byte >= ASCII_END) return false;
  return true;
}

/** `encodeUtf8` for text with more than ASCII in it. */
export function encodeAny(text: string): Uint8Array {
  // With the u flag a pair counts as one, so that this finds only surrogates that are alone.
  const paired = text.replace(/[\ud800-\udfff]/gu, '\ufffd');
  const escaped = encodeURIComponent(paired);
  const bytes = new Uint8Array(escaped.length);
  let size = 0;
  for (let i = 0; i < escaped.length; i++) {
    const unit = escaped.charCodeAt(i);
    bytes[size++] = unit === PERCENT ? Number.parseInt(escaped.slice(i + 1, i + 3), 16) : unit;
    if (unit === PERCENT) i += 2;
  }
  return bytes.slice(0, size);
}

/** `decodeUtf8` for bytes with more than ASCII among them. */
export function decodeAny(bytes: Uint8Array): string | null {
  const escaped = Array.from(bytes, (byte) => `%${byte.toString(16).padStart(2, '0')}`);
  try {
    const text = decodeURIComponent(escaped.join(''));
    // The chip's engine does not throw at what is malformed; but then the way back ends elsewhere.
    const again = encodeAny(text);
    return again.length === bytes.length && again.every((byte, i) => byte === bytes[i])
      ? text
      : null;
  } catch {
    return null;
  }
}
