import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc32, writeU32 } from '../../shared/bytes';
import { ENTRY_BYTES, isEntrySound, packEntry, unpackEntry } from '../../shared/journal/codec';
import type { EntryHead, JournalBody, JournalEntry } from '../../shared/journal/kinds';
import { CRC_AT, HEAD, LAYOUT } from '../../shared/journal/layout';
import { MARKS } from '../../shared/profile/profile';
import { holds } from '../properties';
import { anyBody, anyHead, BODIES } from './any-entry';

const NOTE: JournalBody = { kind: 'fault', code: 3, detail: 0 };
const packed = (head: EntryHead, body: JournalBody): Uint8Array => {
  const bytes = new Uint8Array(ENTRY_BYTES);
  packEntry(head, body, bytes, 0);
  return bytes;
};

describe('a journal entry', () => {
  for (const [name, body] of Object.entries<fc.Arbitrary<JournalBody>>(BODIES)) {
    it(`of kind ${name} comes back from its 32 bytes as it was`, () => {
      holds(
        fc.property(anyHead, body, (head, one) => {
          const entry = unpackEntry(packed(head, one), 0);
          expect(withoutSigns(entry)).toEqual(withoutSigns({ ...head, ...one }));
        }),
      );
    });
  }

  it('lies at any place of a page, and touches nothing beside it', () => {
    holds(
      fc.property(anyHead, anyBody, fc.nat(96), (head, body, offset) => {
        const page = new Uint8Array(160).fill(0x5a);
        packEntry(head, body, page, offset);
        expect(page.subarray(offset, offset + ENTRY_BYTES)).toEqual(packed(head, body));
        expect(page.filter((byte, i) => byte !== 0x5a && (i < offset || i >= offset + 32))).toEqual(
          new Uint8Array(0),
        );
        expect(unpackEntry(page, offset)).toEqual(unpackEntry(packed(head, body), 0));
      }),
    );
  });

  it('with any single bit changed is no entry', () => {
    holds(
      fc.property(anyHead, anyBody, fc.nat(ENTRY_BYTES * 8 - 1), (head, body, bit) => {
        const bytes = packed(head, body);
        bytes[bit >> 3] = (bytes[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        expect(unpackEntry(bytes, 0)).toBe(null);
      }),
    );
  });

  it('is none in erased flash, in zeros, or where the bytes end too soon', () => {
    expect(unpackEntry(new Uint8Array(ENTRY_BYTES).fill(0xff), 0)).toBe(null);
    expect(unpackEntry(new Uint8Array(ENTRY_BYTES), 0)).toBe(null);
    for (const sequence of [0, 0xffff_ffff]) {
      expect(unpackEntry(packed({ sequence, boot: 1, uptimeMs: 0 }, NOTE), 0)).toBe(null);
    }
    holds(
      fc.property(anyHead, anyBody, fc.nat(ENTRY_BYTES - 1), (head, body, length) => {
        expect(unpackEntry(packed(head, body).subarray(0, length), 0)).toBe(null);
      }),
    );
  });

  it('is never read into arbitrary bytes, and those never make it throw', () => {
    holds(
      fc.property(fc.uint8Array({ maxLength: 80, size: 'max' }), fc.nat(100), (bytes, offset) => {
        expect(unpackEntry(bytes, offset)).toBe(null);
      }),
    );
  });

  it('of a kind, or with a word, that newer firmware added is sound, and not understood', () => {
    const sealed = (bytes: Uint8Array): Uint8Array => {
      writeU32(bytes, CRC_AT, crc32(bytes, 0, CRC_AT));
      return bytes;
    };
    const head = { sequence: 7, boot: 1, uptimeMs: 0 };
    const newKind = packed(head, NOTE);
    newKind[HEAD.kind] = Object.keys(LAYOUT).length + 1;
    expect(unpackEntry(sealed(newKind), 0)).toBe(null);
    expect(isEntrySound(newKind, 0)).toBe(true);
    const newWord = packed(head, {
      kind: 'mark',
      mark: 'sown',
      pieces: 0,
      stage: 0,
      trayG: 1,
      rootZoneC: 1,
    });
    newWord[LAYOUT.mark.mark.at] = MARKS.length;
    expect(unpackEntry(sealed(newWord), 0)).toBe(null);
  });

  it('of a calibration is read from what boards in service wrote: its numbers lie where they lay', () => {
    const bytes = new Uint8Array(ENTRY_BYTES);
    const f32 = (at: number, value: number): void =>
      new DataView(bytes.buffer).setFloat32(at, value, true);
    const head = { sequence: 3, boot: 2, uptimeMs: 400 };
    const kind = Object.keys(LAYOUT).indexOf('calibration') + 1;
    const read = (target: number, numbers: readonly number[]): JournalEntry | null => {
      bytes.set([3, 0, 0, 0, 2, 0, kind, target, 4, 0, 0, 0]);
      numbers.forEach((value, i) => {
        f32(12 + 4 * i, value);
      });
      bytes[24] = 1;
      writeU32(bytes, CRC_AT, crc32(bytes, 0, CRC_AT));
      const entry = unpackEntry(bytes, 0);
      if (entry !== null) expect(packed(head, entry)).toEqual(bytes);
      return entry;
    };
    const common = { ...head, kind: 'calibration', restored: true };
    const scale = { zeroCode: 106_904, countsPerG: 209.25, uncertaintyG: 1.5 };
    expect(read(0, [106_904, 209.25, 1.5])).toEqual({ ...common, target: 'scale', ...scale });
    expect(read(1, [106_904, 209.25, 1.5])).toEqual({ ...common, target: 'scale-zero', ...scale });
    expect(read(2, [0.25, 0, 0])).toEqual({ ...common, target: 'probe', offsetK: 0.25 });
    expect(read(3, [-0.5, 0, 0])).toEqual({ ...common, target: 'mat-probe', offsetK: -0.5 });
    const pump = { mlPerS: 1.25, cvPercent: 2, previousMlPerS: 1.125 };
    expect(read(4, [1.25, 2, 1.125])).toEqual({ ...common, target: 'pump', ...pump });
    expect(read(5, [1, 2, 3])).toBe(null);
  });

  it('keeps wild values at the end of their range, and never as a value that means none', () => {
    const wild = packed(
      { sequence: 1, boot: 99_999, uptimeMs: 0 },
      {
        kind: 'reading',
        rootZoneC: 5_000,
        matC: -5_000,
        trayG: 1e12,
        dryBackShare: Number.POSITIVE_INFINITY,
        matDutyShare: Number.NaN,
        outputs: 300,
        stage: 255,
        spreadG: 1e9,
      },
    );
    expect(unpackEntry(wild, 0)).toMatchObject({
      boot: 0xffff,
      rootZoneC: 327.67,
      matC: -327.67,
      trayG: 214_748_364.7,
      dryBackShare: 3.2767,
      matDutyShare: Number.NaN,
      outputs: 255,
      spreadG: 1310.68,
    });
  });
});

/** For comparison: an entry may lose the sign of a zero. */
function withoutSigns(entry: JournalEntry | null): unknown {
  return Object.entries(entry ?? {})
    .map(([name, value]) => [name, value === 0 ? 0 : value])
    .sort();
}
