/** As `shared/bytes/utf8.ts`: ASCII, which is nearly everything, by the runtime; the rest by itself. */
import { decodeAny, encodeAny } from '../../../shared/bytes/utf8';
import './native';

export function encodeUtf8(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length);
  return native.putAscii(text, bytes) ? bytes : encodeAny(text);
}

export function decodeUtf8(bytes: Uint8Array, start = 0, end = bytes.length): string | null {
  const text = native.asciiText(bytes, start, end);
  return text ?? decodeAny(bytes.subarray(Math.max(start, 0), Math.max(end, 0)));
}
