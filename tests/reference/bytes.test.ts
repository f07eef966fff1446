import { describe, expect, test } from 'vitest';
import { crc32, encodeUtf8, fromBase64, toBase64 } from '../../shared/bytes';

const crcOfText = (text: string): number => crc32(encodeUtf8(text));

describe('CRC-32/ISO-HDLC (CRC RevEng catalogue)', () => {
  test('the check value of "123456789" is CBF43926', () => {
    expect(crcOfText('123456789')).toBe(0xcbf43926);
  });

  test.each([
    ['', 0x00000000],
    ['a', 0xe8b7be43],
    ['The quick brown fox jumps over the lazy dog', 0x414fa339],
    ['{"t":1,"e":"boot"}\n', 0xa661d4c7],
  ])('%j (calculated apart)', (text, crc) => {
    expect(crcOfText(text)).toBe(crc);
  });

  test('a message followed by its own CRC, low byte first, leaves 2144DF1C', () => {
    const message = [...encodeUtf8('123456789'), 0x26, 0x39, 0xf4, 0xcb];
    expect(crc32(Uint8Array.from(message))).toBe(0x2144df1c);
  });

  test('it is not another CRC-32: CRC-32C has E3069283 here (RFC 3720)', () => {
    expect(crcOfText('123456789')).not.toBe(0xe3069283);
  });
});

describe('base64 (RFC 4648, section 10)', () => {
  test.each([
    ['', ''],
    ['f', 'Zg=='],
    ['fo', 'Zm8='],
    ['foo', 'Zm9v'],
    ['foob', 'Zm9vYg=='],
    ['fooba', 'Zm9vYmE='],
    ['foobar', 'Zm9vYmFy'],
  ])('%j is %j', (text, base64) => {
    expect(toBase64(encodeUtf8(text))).toBe(base64);
    expect(fromBase64(base64)).toEqual(encodeUtf8(text));
  });
});

describe('UTF-8 (RFC 8949, appendix A, the text strings)', () => {
  test.each([
    ['IETF', [0x49, 0x45, 0x54, 0x46]],
    ['ü', [0xc3, 0xbc]],
    ['水', [0xe6, 0xb0, 0xb4]],
    ['𐅑', [0xf0, 0x90, 0x85, 0x91]],
  ])('%s', (text, bytes) => {
    expect(Array.from(encodeUtf8(text))).toEqual(bytes);
  });
});
