import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
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
} from '../../shared/bytes';
import { anyCharacter } from '../any-text';
import { holds } from '../properties';

const anyText = fc.string({ unit: anyCharacter, maxLength: 300 });
const anyBytes = fc.uint8Array({ maxLength: 400 });

describe('CRC-32', () => {
  test('a CRC taken in two pieces equals the CRC of the whole', () => {
    holds(
      fc.property(anyBytes, fc.nat(400), (bytes, cut) => {
        const at = Math.min(cut, bytes.length);
        const first = crc32(bytes, 0, at);
        expect(crc32(bytes, at, bytes.length, first)).toBe(crc32(bytes));
      }),
    );
  });

  test('any single flipped bit is noticed', () => {
    holds(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 64 }), fc.nat(), (bytes, pick) => {
        const bit = pick % (bytes.length * 8);
        const flipped = bytes.slice();
        flipped[bit >> 3] = (flipped[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        expect(crc32(flipped)).not.toBe(crc32(bytes));
      }),
    );
  });

  test('a range outside the array is clipped to it', () => {
    const bytes = encodeUtf8('123456789');
    expect(crc32(bytes, -5, 99)).toBe(crc32(bytes));
    expect(crc32(bytes, 7, 3)).toBe(0);
  });
});

describe('base64', () => {
  test('what was written is read back, and agrees with the host', () => {
    holds(
      fc.property(anyBytes, (bytes) => {
        const text = toBase64(bytes);
        expect(text).toBe(Buffer.from(bytes).toString('base64'));
        expect(fromBase64(text)).toEqual(bytes);
      }),
    );
  });

  test('a part of an array is written without its neighbours', () => {
    expect(toBase64(encodeUtf8('xfoox'), 1, 4)).toBe('Zm9v');
    expect(toBase64(encodeUtf8('xfox'), 1, 3)).toBe('Zm8=');
  });

  test('any text that is read at all is exactly what would be written', () => {
    const likely = fc.string({
      unit: fc.constantFrom('A', 'b', '9', '+', '/', '='),
      maxLength: 12,
    });
    holds(
      fc.property(fc.oneof(likely, anyText), (text) => {
        const bytes = fromBase64(text);
        if (bytes !== null) expect(toBase64(bytes)).toBe(text);
      }),
    );
  });

  test.each([
    'Z',
    'Zg',
    'Zg=',
    'Zh==',
    'Zm9=',
    '====',
    'Zg==Zg==',
    'Zg=A',
    '=Zm8',
    'Zm9v\n',
    'Zm-_',
    'Zm9é',
  ])('refuses %j', (text) => {
    expect(fromBase64(text)).toBeNull();
  });
});

describe('UTF-8', () => {
  test('agrees with the host on any text, lone surrogates included', () => {
    const units = fc
      .array(fc.integer({ min: 0, max: 0xffff }), { maxLength: 200 })
      .map((codes) => String.fromCharCode(...codes));
    holds(
      fc.property(fc.oneof(anyText, units), (text) => {
        const bytes = encodeUtf8(text);
        expect(Array.from(bytes)).toEqual(Array.from(new TextEncoder().encode(text)));
        expect(decodeUtf8(bytes)).toBe(new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes));
      }),
    );
  });

  test('agrees with a strict decoder on any bytes', () => {
    const strict = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
    const likely = fc.array(
      fc.constantFrom(0x41, 0x80, 0xbf, 0xc1, 0xc3, 0xe0, 0xe2, 0xed, 0xef, 0xf0, 0xf4, 0xf5),
      { maxLength: 8 },
    );
    holds(
      fc.property(
        fc.oneof(
          anyBytes,
          likely.map((list) => Uint8Array.from(list)),
        ),
        (bytes) => {
          let expected: string | null;
          try {
            expected = strict.decode(bytes);
          } catch {
            expected = null;
          }
          expect(decodeUtf8(bytes)).toBe(expected);
        },
      ),
      { numRuns: 1000 },
    );
  });

  test.each([
    ['a surrogate', [0xed, 0xa0, 0x80]],
    ['an overlong form', [0xe0, 0x80, 0xaf]],
    ['a point beyond the last', [0xf4, 0x90, 0x80, 0x80]],
    ['a lone continuation', [0x80]],
  ])('%s is malformed', (_what, bytes) => {
    expect(decodeUtf8(Uint8Array.from(bytes))).toBeNull();
  });

  test('a character cut by the end of the range is malformed', () => {
    expect(decodeUtf8(encodeUtf8('aé'), 0, 2)).toBeNull();
    expect(decodeUtf8(encodeUtf8('aé'), 0, 1)).toBe('a');
  });

  test('text longer than one window survives, with a pair across the window edge', () => {
    const text = `${'x'.repeat(63)}🌱${'é'.repeat(500)}`;
    expect(decodeUtf8(encodeUtf8(text))).toBe(text);
  });
});

describe('little-endian numbers', () => {
  const offset = fc.nat(7);
  const bytes = (): Uint8Array => new Uint8Array(16);

  test('integers come back at any offset, signed and unsigned', () => {
    holds(
      fc.property(offset, fc.integer(), fc.nat(0xffffffff), (at, signed, unsigned) => {
        const room = bytes();
        writeI32(room, at, signed);
        expect(readI32(room, at)).toBe(signed);
        writeU32(room, at, unsigned);
        expect(readU32(room, at)).toBe(unsigned);
        writeI16(room, at, signed >> 16);
        expect(readI16(room, at)).toBe(signed >> 16);
        writeU16(room, at, unsigned & 0xffff);
        expect(readU16(room, at)).toBe(unsigned & 0xffff);
      }),
    );
  });

  test('the low byte comes first', () => {
    const room = bytes();
    writeU32(room, 1, 0x12345678);
    expect(Array.from(room.slice(0, 6))).toEqual([0, 0x78, 0x56, 0x34, 0x12, 0]);
    writeF32(room, 1, 1);
    expect(Array.from(room.slice(1, 5))).toEqual([0, 0, 0x80, 0x3f]);
  });

  test('floating-point numbers come back at any offset, NaN and infinities too', () => {
    holds(
      fc.property(offset, fc.double(), (at, value) => {
        const room = bytes();
        writeF64(room, at, value);
        expect(readF64(room, at)).toBe(value);
        writeF32(room, at, value);
        expect(readF32(room, at)).toBe(Math.fround(value));
      }),
    );
  });
});
