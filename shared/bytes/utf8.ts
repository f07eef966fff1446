/** Text as UTF-8 bytes and back (RFC 3629), without the host's encoder: the board has none. */
import { eachCodeUnit, TextGatherer } from './text-windows';

const REPLACEMENT = 0xfffd;

/** UTF-8 bytes of `text`. A lone surrogate becomes U+FFFD, as everywhere on the web. */
export function encodeUtf8(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length * 3);
  let size = 0;
  let high = 0;
  const put = (point: number): void => {
    size += putCodePoint(bytes, size, point);
  };
  eachCodeUnit(text, (unit) => {
    if (high !== 0) {
      const pair = isLowSurrogate(unit);
      put(pair ? 0x10000 + ((high - 0xd800) << 10) + (unit - 0xdc00) : REPLACEMENT);
      high = 0;
      if (pair) return true;
    }
    if (unit < 0x80) bytes[size++] = unit;
    else if (unit >= 0xd800 && unit <= 0xdbff) high = unit;
    else put(isLowSurrogate(unit) ? REPLACEMENT : unit);
    return true;
  });
  if (high !== 0) put(REPLACEMENT);
  return bytes.slice(0, size);
}

/**
 * The text of `bytes[start..end)` (clipped to the array), or null when it is not well-formed UTF-8:
 * cut off, overlong, a surrogate, or beyond U+10FFFF. A byte order mark is kept.
 */
export function decodeUtf8(bytes: Uint8Array, start = 0, end = bytes.length): string | null {
  const last = Math.min(end, bytes.length);
  const text = new TextGatherer();
  let i = Math.max(start, 0);
  while (i < last) {
    const first = bytes[i++] ?? 0;
    if (first < 0x80) {
      text.push(first);
      continue;
    }
    const more = continuationBytes(first);
    if (more === 0 || i + more > last) return null;
    let point = first & (0x3f >> more);
    for (let k = 0; k < more; k++) {
      const next = bytes[i++] ?? 0;
      if ((next & 0xc0) !== 0x80) return null;
      point = (point << 6) | (next & 0x3f);
    }
    if (point < smallestPoint(more) || point > 0x10ffff) return null;
    if (point >= 0xd800 && point <= 0xdfff) return null;
    if (point < 0x10000) {
      text.push(point);
    } else {
      text.push(0xd800 + ((point - 0x10000) >> 10));
      text.push(0xdc00 + ((point - 0x10000) & 0x3ff));
    }
  }
  return text.text();
}

function isLowSurrogate(unit: number): boolean {
  return unit >= 0xdc00 && unit <= 0xdfff;
}

function continuationBytes(first: number): number {
  if (first >= 0xc2 && first <= 0xdf) return 1;
  if (first >= 0xe0 && first <= 0xef) return 2;
  if (first >= 0xf0 && first <= 0xf4) return 3;
  return 0;
}

/** Smaller code points have a shorter form; the longer one is malformed. */
function smallestPoint(continuations: number): number {
  if (continuations === 1) return 0x80;
  return continuations === 2 ? 0x800 : 0x10000;
}

function putCodePoint(bytes: Uint8Array, at: number, point: number): number {
  if (point < 0x800) {
    bytes[at] = 0xc0 | (point >> 6);
    bytes[at + 1] = 0x80 | (point & 0x3f);
    return 2;
  }
  if (point < 0x10000) {
    bytes[at] = 0xe0 | (point >> 12);
    bytes[at + 1] = 0x80 | ((point >> 6) & 0x3f);
    bytes[at + 2] = 0x80 | (point & 0x3f);
    return 3;
  }
  bytes[at] = 0xf0 | (point >> 18);
  bytes[at + 1] = 0x80 | ((point >> 12) & 0x3f);
  bytes[at + 2] = 0x80 | ((point >> 6) & 0x3f);
  bytes[at + 3] = 0x80 | (point & 0x3f);
  return 4;
}
