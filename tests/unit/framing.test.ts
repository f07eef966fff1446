import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc32, encodeUtf8 } from '../../shared/bytes';
import {
  checkLine,
  createLineDecoder,
  encodeLine,
  LINE_OVERHEAD_BYTES,
  type ReceivedLine,
} from '../../shared/link/framing';
import { anyCharacter } from '../any-text';
import { holds } from '../properties';

const MAX_BYTES = 256;
const anyMessage = fc
  .oneof(
    fc.record({ id: fc.nat(), method: fc.string({ maxLength: 20, size: 'max' }) }),
    fc.record({ text: fc.string({ unit: anyCharacter, maxLength: 20, size: 'max' }) }),
    fc.array(fc.nat(), { maxLength: 12 }),
  )
  .map((message) => JSON.stringify(message));
const anyBytes = fc.uint8Array({ maxLength: 700, size: 'max' });
/** Bytes that look like lines now and then. */
const nearlyLines = fc
  .array(
    fc.oneof(
      fc.uint8Array({ maxLength: 40, size: 'max' }),
      anyMessage.map(encodeLine),
      anyMessage.map(encodeUtf8),
      fc.constantFrom('\n', '\r\n', '*', '*00000000\n', '\r', ' ').map(encodeUtf8),
    ),
    { maxLength: 20, size: 'max' },
  )
  .map(joined);

function joined(parts: readonly Uint8Array[]): Uint8Array {
  return Uint8Array.from(parts.flatMap((part) => [...part]));
}

function received(pieces: readonly Uint8Array[], maxBytes = MAX_BYTES): ReceivedLine[] {
  const lines: ReceivedLine[] = [];
  const decode = createLineDecoder(maxBytes, (line) => lines.push(line));
  for (const piece of pieces) decode(piece);
  return lines;
}

/** `bytes` cut at the given places. */
function cut(bytes: Uint8Array, places: readonly number[]): Uint8Array[] {
  const at = [0, ...places.map((p) => Math.min(p, bytes.length)), bytes.length];
  at.sort((a, b) => a - b);
  return at.slice(1).map((end, i) => bytes.subarray(at[i], end));
}

const withoutNewline = (line: Uint8Array): Uint8Array => line.subarray(0, line.length - 1);

describe('a line', () => {
  it('comes back as it was sent, checked, with nothing but ASCII on the wire', () => {
    holds(
      fc.property(anyMessage, (json) => {
        const line = encodeLine(json);
        expect(line.every((byte) => byte < 0x80)).toBe(true);
        expect([line.indexOf(0x0a), line.at(-1)]).toEqual([line.length - 1, 0x0a]);
        const [back] = received([line], 4_096);
        if (back?.kind !== 'text') throw new Error('the line did not come back');
        expect(back.checked).toBe(true);
        expect(JSON.parse(back.text)).toEqual(JSON.parse(json));
      }),
    );
  });

  it('carries its CRC-32 in eight hex digits behind a star', () => {
    const text = '{"id":1}';
    const crc = crc32(encodeUtf8(text)).toString(16).padStart(8, '0');
    expect(encodeLine(text)).toEqual(encodeUtf8(`${text}*${crc}\n`));
    expect(encodeLine(text).length).toBe(text.length + LINE_OVERHEAD_BYTES);
  });

  it('may end in CR LF, as terminals send it, and be empty, which means nothing', () => {
    const line = withoutNewline(encodeLine('{"id":1}'));
    expect(received([line, encodeUtf8('\r\n\r\n\n')])).toEqual([
      { kind: 'text', text: '{"id":1}', checked: true },
    ]);
  });

  it('typed without CRC is understood, and is not called checked', () => {
    expect(received([encodeUtf8('{"id":1}\n')])).toEqual([
      { kind: 'text', text: '{"id":1}', checked: false },
    ]);
  });

  it('with any single bit flipped is never taken for a checked one', () => {
    holds(
      fc.property(anyMessage, fc.nat(), (json, pick) => {
        const line = encodeLine(json).slice();
        const bit = pick % ((line.length - 1) * 8);
        line[bit >> 3] = (line[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        for (const one of received([line], 4_096)) {
          expect(one.kind === 'text' && one.checked).toBe(false);
        }
      }),
      { numRuns: 500 },
    );
  });

  it('with a burst of noise up to 32 bits long is never taken for a checked one', () => {
    const burst = fc.uint8Array({ minLength: 1, maxLength: 4 });
    holds(
      fc.property(anyMessage, burst, fc.nat(), (json, noise, pick) => {
        fc.pre(noise.some((byte) => byte !== 0));
        const line = encodeLine(json).slice();
        const at = pick % Math.max(1, line.length - 1 - noise.length);
        noise.forEach((byte, i) => {
          line[at + i] = (line[at + i] ?? 0) ^ byte;
        });
        for (const one of received([line], 4_096)) {
          expect(one.kind === 'text' && one.checked).toBe(false);
        }
      }),
      { numRuns: 500 },
    );
  });

  it('too long is told once, when it ends; the one after it is understood', () => {
    const good = encodeLine('{"id":2}');
    for (const extra of [0, 1, 5_000]) {
      const long = encodeUtf8(`${'x'.repeat(MAX_BYTES - 1 + extra)}\n`);
      const [first, second, ...more] = received([long, good]);
      expect(first?.kind).toBe(extra === 0 ? 'text' : 'damaged');
      if (extra > 0) expect(first).toEqual({ kind: 'damaged', why: 'too-long' });
      expect(second).toEqual({ kind: 'text', text: '{"id":2}', checked: true });
      expect(more).toEqual([]);
    }
  });

  it('that is no UTF-8 text is damaged', () => {
    expect(checkLine(Uint8Array.of(0x7b, 0xff, 0x7d))).toEqual({
      kind: 'damaged',
      why: 'not-text',
    });
  });
});

describe('a stream', () => {
  it('gives the same lines however it is cut into pieces', () => {
    const places = fc.array(fc.nat(900), { maxLength: 30, size: 'max' });
    holds(
      fc.property(fc.oneof(anyBytes, nearlyLines), places, (bytes, where) => {
        const whole = received([bytes]);
        expect(received(cut(bytes, where))).toEqual(whole);
        expect(received([...bytes].map((byte) => Uint8Array.of(byte)))).toEqual(whole);
      }),
    );
  });

  it('of arbitrary bytes never throws, and a line after its next newline is understood', () => {
    holds(
      fc.property(fc.oneof(anyBytes, nearlyLines), (noise) => {
        const lines = received([noise, encodeUtf8('\n'), encodeLine('{"id":7}')]);
        expect(lines.at(-1)).toEqual({ kind: 'text', text: '{"id":7}', checked: true });
      }),
    );
  });

  it('of whole lines gives each of them, in order', () => {
    holds(
      fc.property(fc.array(anyMessage, { maxLength: 15 }), (messages) => {
        const lines = received(messages.map(encodeLine), 4_096);
        const parsed = lines.map((line) => (line.kind === 'text' ? JSON.parse(line.text) : null));
        expect(parsed).toEqual(messages.map((json) => JSON.parse(json)));
      }),
    );
  });
});
