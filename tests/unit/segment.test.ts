import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openSegment, readSegment } from '../../cli/journal/segment';
import { ENTRY_BYTES, packEntry } from '../../shared/journal/codec';
import { holds } from '../properties';
import { FakeDisk } from './fake-disk';

/** Packed entries with these sequence numbers. */
function page(...sequences: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(sequences.length * ENTRY_BYTES);
  sequences.forEach((sequence, i) => {
    const head = { sequence, boot: 1, uptimeMs: sequence * 100 };
    packEntry(head, { kind: 'fault', code: sequence * 7, detail: 0 }, bytes, i * ENTRY_BYTES);
  });
  return bytes;
}
const upTo = (last: number): number[] => Array.from({ length: last }, (_, i) => i + 1);
const stored = (disk: FakeDisk): number[] =>
  readSegment(disk.file()).entries.map(({ sequence }) => sequence);

describe('a segment of the stored journal', () => {
  it('keeps each entry once, in order, however the pages overlap', () => {
    const pages = fc.array(
      fc.tuple(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 1, max: 20 })),
      { maxLength: 20, size: 'max' },
    );
    holds(
      fc.property(pages, (ranges) => {
        const disk = new FakeDisk();
        const segment = openSegment(disk.file());
        let newest = 0;
        const wanted: number[] = [];
        for (const [from, count] of ranges) {
          const sequences = upTo(count).map((i) => from + i - 1);
          const fresh = sequences.filter((sequence) => sequence > newest);
          const result = segment.append(page(...sequences));
          expect(result).toMatchObject({ stored: fresh.length, known: count - fresh.length });
          wanted.push(...fresh);
          newest = Math.max(newest, ...fresh);
        }
        expect(stored(disk)).toEqual(wanted);
        expect(segment.last()?.sequence ?? 0).toBe(newest);
      }),
    );
  });

  it('torn at any byte by a crash goes on behind its last whole entry', () => {
    holds(
      fc.property(fc.nat(10 * ENTRY_BYTES), (length) => {
        const disk = new FakeDisk();
        openSegment(disk.file()).append(page(...upTo(10)));
        disk.bytes.length = length;
        const whole = Math.floor(length / ENTRY_BYTES);
        expect(stored(disk)).toEqual(upTo(whole));
        const segment = openSegment(disk.file());
        expect(segment.last()?.sequence ?? 0).toBe(whole);
        expect(disk.bytes.length).toBe(whole * ENTRY_BYTES);
        segment.append(page(...upTo(12)));
        expect(stored(disk)).toEqual(upTo(12));
      }),
    );
  });

  it('with nonsense at its end, as a crash of the laptop leaves it, loses the nonsense only', () => {
    const nonsense = fc.oneof(
      fc.uint8Array({ maxLength: 200, size: 'max' }),
      fc.nat(200).map((length) => new Uint8Array(length)),
    );
    holds(
      fc.property(nonsense, (tail) => {
        const disk = new FakeDisk();
        openSegment(disk.file()).append(page(1, 2, 3));
        disk.bytes.push(...tail);
        const segment = openSegment(disk.file());
        expect(segment.lastPacked()).toEqual(page(3));
        segment.append(page(4));
        expect(stored(disk)).toEqual([1, 2, 3, 4]);
      }),
    );
  });

  it('damaged in its middle tells so, and gives all the other entries', () => {
    holds(
      fc.property(fc.nat(8), fc.nat(ENTRY_BYTES - 1), (entry, byte) => {
        const disk = new FakeDisk();
        openSegment(disk.file()).append(page(...upTo(10)));
        const at = entry * ENTRY_BYTES + byte;
        disk.bytes[at] = (disk.bytes[at] ?? 0) ^ 0x10;
        openSegment(disk.file());
        const content = readSegment(disk.file());
        expect(content.damaged).toBe(1);
        expect(content.entries.map(({ sequence }) => sequence)).toEqual(
          upTo(10).filter((sequence) => sequence !== entry + 1),
        );
      }),
    );
  });

  it('on a full disk keeps what it had, nothing of what did not fit, and goes on when there is room', () => {
    holds(
      fc.property(fc.nat(40 * ENTRY_BYTES), fc.integer({ min: 1, max: 9 }), (room, step) => {
        const disk = new FakeDisk();
        disk.room = room;
        const segment = openSegment(disk.file());
        let kept = 0;
        try {
          for (let last = step; last <= 45; last += step) {
            segment.append(page(...upTo(last)));
            kept = last;
          }
        } catch (error) {
          expect(error).toMatchObject({ code: 'ENOSPC' });
        }
        expect(disk.bytes.length).toBe(kept * ENTRY_BYTES);
        expect(segment.last()?.sequence ?? 0).toBe(kept);
        disk.room = Number.POSITIVE_INFINITY;
        segment.append(page(...upTo(45)));
        expect(stored(disk)).toEqual(upTo(45));
      }),
    );
  });

  it('counts the numbers that are missing, and leaves out what came damaged', () => {
    const disk = new FakeDisk();
    const segment = openSegment(disk.file());
    segment.append(page(5, 6));
    const bytes = page(7, 8, 12);
    bytes[ENTRY_BYTES + 13] = (bytes[ENTRY_BYTES + 13] ?? 0) ^ 1;
    expect(segment.append(bytes)).toEqual({ stored: 2, known: 0, damaged: 1, missing: 4 });
    expect(stored(disk)).toEqual([5, 6, 7, 12]);
  });
});
