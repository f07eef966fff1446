/** What `shared/bytes` makes of many inputs: run on the host and on the image, it must say the same. */
import {
  crc32,
  decodeUtf8,
  encodeUtf8,
  fromBase64,
  readF32,
  readF64,
  readI16,
  readI32,
  readU16,
  readU32,
  toBase64,
  writeF32,
  writeF64,
  writeI16,
  writeI32,
  writeU16,
  writeU32,
  writtenBytes,
} from '../../shared/bytes';

/** The bench's generator keeps a table that is too large for the board; this one has none. */
function xorshift(seed: number): (below: number) => number {
  let state = seed | 1;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % below;
  };
}

const hex = (bytes: Uint8Array | null): string =>
  bytes === null
    ? 'null'
    : Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
/** Text by its code units: the way out of the board is ASCII. */
const units = (text: string | null): string =>
  text === null ? 'null' : Array.from({ length: text.length }, (_, i) => text.charCodeAt(i)).join();

const BAD_BASE64 = ['A', 'AA', 'AAA', '=', '====', 'A===', 'AB==', 'AAB=', 'AA=A', 'AAAA=', 'AA A'];
const GOOD_BASE64 = ['', 'AA==', 'AAA=', '+/+/', 'Zm9vYmFy'];
const TEXTS = [
  '',
  'plain',
  'grün',
  '5 °C',
  '苗',
  '🌱 sown',
  '\ud83c lone',
  '\u0000 nul',
  'ends \udf31',
];
/** Overlong, cut off, a surrogate, beyond U+10FFFF, a stray continuation, a NUL. */
const BAD_UTF8 = [[0xc0, 0x80], [0xe2, 0x82], [0xed, 0xa0, 0x80], [0xf4, 0x90, 0x80, 0x80], [0x80]];

const NUMBERS = [0, -0, 1, -1.5, Math.PI, 1e-310, 3e38, 1e39, NaN, Infinity, -Infinity];

/** `value` written as a single and a double at an odd offset, half outside as well, and read back. */
function numberLine(value: number): string {
  const bytes = new Uint8Array(23);
  writeF32(bytes, 1, value);
  writeF64(bytes, 7, value);
  const told = [readF32(bytes, 1), readF64(bytes, 7), readF64(bytes, 23)].map(String);
  if (Number.isNaN(value)) return told.join();
  writeF64(bytes, 18, value);
  writeF32(bytes, 21, value);
  return `${told.join()} ${readF64(bytes, 18)} ${readF32(bytes, 21)} ${hex(bytes)}`;
}

const INTEGERS = [
  0,
  1,
  -1,
  255,
  32767,
  32768,
  -32768,
  65536,
  2 ** 31,
  2 ** 32 - 1,
  2 ** 32 + 5,
  7.9,
];

/** `value` written in every width, across the end of the array as well, and read back. */
function integerLine(value: number): string {
  const bytes = new Uint8Array(13).fill(0xee);
  writeU16(bytes, 0, value);
  writeI16(bytes, 3, value);
  writeU32(bytes, 5, value);
  writeI32(bytes, 11, value);
  const told = [readU16(bytes, 0), readI16(bytes, 3), readU32(bytes, 5), readI32(bytes, 5)];
  return `${told.join()} ${readU32(bytes, 11)} ${readU16(bytes, 13)} ${hex(bytes)}`;
}

/** Lines that tell the results, for as many arbitrary arrays as `cases`. */
export function bytesReport(seed: number, cases: number): string[] {
  const draw = xorshift(seed);
  const lines: string[] = [];
  for (const text of [...GOOD_BASE64, ...BAD_BASE64])
    lines.push(`${text} ${hex(fromBase64(text))}`);
  for (const value of INTEGERS) lines.push(integerLine(value));
  for (const value of NUMBERS) lines.push(numberLine(value));
  for (const text of TEXTS) {
    const bytes = encodeUtf8(text);
    lines.push(`${hex(bytes)} ${units(decodeUtf8(bytes))}`);
  }
  for (const bytes of [...BAD_UTF8, [0x41, 0, 0x42]]) {
    lines.push(units(decodeUtf8(Uint8Array.from(bytes))));
  }
  for (let i = 0; i < cases; i++) {
    const bytes = Uint8Array.from({ length: draw(200) }, () => draw(256));
    const erased = new Uint8Array(bytes.length + draw(40)).fill(0xff);
    erased.set(bytes);
    lines.push(`${writtenBytes(bytes)} ${writtenBytes(erased)} ${writtenBytes(erased.fill(0xff))}`);
    const from = draw(105) - 5;
    const to = draw(210);
    const seedCrc = draw(0xffff_ffff);
    const text = toBase64(bytes, from, to);
    const parts = [crc32(bytes), crc32(bytes, from, to), crc32(bytes, from, to, seedCrc)];
    lines.push(`${bytes.length} ${from} ${to} ${parts.join()} ${text} ${hex(fromBase64(text))}`);
    lines.push(
      units(
        decodeUtf8(
          bytes.map((byte) => byte & 0x7f),
          from,
          to,
        ),
      ),
    );
  }
  return lines;
}
