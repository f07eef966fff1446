/** What keepers and collectors say to each other, and what is none of it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Batch,
  decodeAsked,
  decodeBatch,
  decodeEnds,
  encodeAsked,
  encodeBatch,
  encodeEnds,
  placeOf,
  topicOf,
} from '../../cli/fleet/wire';
import { ENTRY_BYTES, entrySequence, packEntry } from '../../shared/journal/codec';
import { holds } from '../properties';
import { anyBody, anyHead } from '../unit/any-entry';

const u32 = fc.integer({ min: 0, max: 0xffff_ffff });
const mark = fc.record({ sequence: u32, crc: u32, boot: fc.integer({ min: 0, max: 0xffff }) });
const controller = fc.stringMatching(/^[0-9a-f]{16}$/);
const name = fc
  .string({ unit: 'grapheme', maxLength: 10 })
  .map((text) => text.replace(/[\p{Cc}\p{Cs}]/gu, ''));

const anyBatch = fc
  .record({
    mark,
    controller,
    name,
    entries: fc.array(fc.tuple(anyHead, anyBody), { maxLength: 5 }),
  })
  .map(({ entries, name: tray, ...about }): Batch => {
    const bytes = new Uint8Array(entries.length * ENTRY_BYTES);
    for (const [i, [head, body]] of entries.entries()) {
      packEntry(head, body, bytes, i * ENTRY_BYTES);
    }
    const sequences = entries.map((_, i) => entrySequence(bytes, i * ENTRY_BYTES));
    const whole =
      entries.length === 0 ? null : { from: Math.min(...sequences), to: Math.max(...sequences) };
    return { keeper: 'north', ...about, tray, whole, atMs: 1_000_000, bytes };
  });

const placed = (batch: Batch) => ({
  channel: 'entries',
  keeper: batch.keeper,
  controller: batch.controller,
});

describe('a batch', () => {
  it('arrives as it was sent', () => {
    holds(
      fc.property(anyBatch, (batch) => {
        expect(decodeBatch(placed(batch), encodeBatch(batch))).toEqual({
          ...batch,
          bytes: Buffer.from(batch.bytes),
        });
      }),
    );
  });

  it('is refused whole when a byte of an entry is another, or the end is missing', () => {
    holds(
      fc.property(
        anyBatch.filter(({ bytes }) => bytes.length > 0),
        fc.nat(),
        fc.integer({ min: 1, max: 255 }),
        (batch, place, flip) => {
          const payload = encodeBatch(batch);
          const at = payload.length - 1 - (place % batch.bytes.length);
          payload[at] = (payload[at] ?? 0) ^ flip;
          expect(decodeBatch(placed(batch), payload)).toBeNull();
          const short = encodeBatch(batch).subarray(0, -1 - (place % (ENTRY_BYTES - 1)));
          expect(decodeBatch(placed(batch), short)).toBeNull();
        },
      ),
    );
  });

  it('has no entry outside the span that it says to be whole', () => {
    holds(
      fc.property(
        anyBatch.filter(({ whole }) => whole !== null && whole.from < whole.to),
        (batch) => {
          const { from = 0, to = 0 } = batch.whole ?? {};
          const shorter = { ...batch, whole: { from, to: to - 1 } };
          expect(decodeBatch(placed(batch), encodeBatch(shorter))).toBeNull();
        },
      ),
    );
  });
});

describe('ends and questions', () => {
  it('arrive as they were sent', () => {
    holds(
      fc.property(controller, mark, name, u32, u32, (board, of, tray, one, other) => {
        const [from, to] = [Math.min(one, other), Math.max(one, other)];
        const question = { controller: board, mark: of, from, to };
        expect(decodeAsked(Buffer.from(encodeAsked(question)))).toEqual(question);
        const ends = [{ controller: board, tray, mark: of, to }];
        expect(decodeEnds(Buffer.from(encodeEnds(ends)))).toEqual(ends);
      }),
    );
  });

  it('never come out of anything else', () => {
    holds(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        expect(decodeAsked(bytes)).toBeNull();
        expect(decodeEnds(bytes)).toBeNull();
        expect(
          decodeBatch({ channel: 'entries', keeper: 'a', controller: '1a' }, bytes),
        ).toBeNull();
      }),
    );
    for (const text of ['{"v":1,"ends":[{}]}', '{"v":2,"ends":[]}', '[]', 'null', '{"v":1}']) {
      expect(decodeEnds(Buffer.from(text))).toBeNull();
      expect(decodeAsked(Buffer.from(text))).toBeNull();
    }
  });

  it('ask for entries alone, the first before the last', () => {
    const asked = (change: object) =>
      decodeAsked(
        Buffer.from(
          JSON.stringify({ v: 1, controller: '1a', mark: [1, 2, 3], from: 4, to: 5, ...change }),
        ),
      );
    expect(asked({})).not.toBeNull();
    expect(asked({ from: 6 })).toBeNull();
    expect(asked({ controller: '../../etc' })).toBeNull();
    expect(asked({ to: 2 ** 40 })).toBeNull();
  });
});

describe('a topic', () => {
  it('says which keeper and controller it is of, and is none of ours otherwise', () => {
    const topic = topicOf('a/b', 'entries', 'north', '1a2b');
    expect(placeOf('a/b', topic)).toEqual({
      channel: 'entries',
      keeper: 'north',
      controller: '1a2b',
    });
    for (const other of [
      'a/entries/north/1a',
      'a/b/entries/north/1a/2',
      'a/b/entries/No/1a',
      'a/b/entries/n/xyz',
    ]) {
      expect(placeOf('a/b', other)).toBeNull();
    }
  });
});
