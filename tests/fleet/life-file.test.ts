/** A life of a stored journal, piece by piece, as a keeper sends it. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { LifeFile } from '../../cli/fleet/sending/life-file';
import { openEntryFile } from '../../cli/journal/entry-file';
import { ENTRY_BYTES, entrySequence, packEntry, unpackEntry } from '../../shared/journal/codec';
import type { JournalBody } from '../../shared/journal/kinds';
import { holds } from '../properties';

const folder = mkdtempSync(join(tmpdir(), 'trayward-life-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const note: JournalBody = { kind: 'note', more: 0, text: 'x' };
const alarm: JournalBody = {
  ...{ kind: 'alarm', alarm: 'too-cold', change: 'raised', stage: 0, value: 1, limit: 2, forS: 0 },
};
const clock: JournalBody = { kind: 'clock', unixMs: 5_000_000, outageS: 0 };

/** A file of entries with these sequence numbers; those in `spoilt` the disk has changed. */
function lifeOf(sequences: readonly number[], spoilt: ReadonlySet<number>, bodies = [note]) {
  const bytes = new Uint8Array(sequences.length * ENTRY_BYTES);
  sequences.forEach((sequence, i) => {
    const body = bodies[i % bodies.length] ?? note;
    packEntry({ sequence, boot: 1, uptimeMs: sequence * 1000 }, body, bytes, i * ENTRY_BYTES);
    if (spoilt.has(sequence)) bytes[i * ENTRY_BYTES + 13] = 0xff;
  });
  const path = join(folder, 'life.entries');
  // A torn tail, as a pull that is under way has.
  writeFileSync(path, Buffer.concat([bytes, new Uint8Array(7)]));
  return new LifeFile(openEntryFile(path, false));
}

const sequencesIn = (bytes: Uint8Array): number[] =>
  Array.from({ length: bytes.length / ENTRY_BYTES }, (_, i) =>
    entrySequence(bytes, i * ENTRY_BYTES),
  );

const anyLife = fc
  .uniqueArray(fc.integer({ min: 1, max: 60 }), { minLength: 1, maxLength: 40 })
  .map((list) => list.sort((a, b) => a - b));

describe('a life', () => {
  it('gives what lies behind any entry, in order and in pieces, without what the disk has spoilt', () => {
    holds(
      fc.property(
        anyLife,
        fc.array(fc.integer({ min: 1, max: 60 })),
        fc.nat(61),
        fc.integer({ min: 1, max: 9 }),
        (life, bad, after, most) => {
          const spoilt = new Set(bad);
          const file = lifeOf(life, spoilt);
          const read: number[] = [];
          for (let to = after; ; ) {
            const { bytes, lastSequence } = file.after(to, most);
            if (lastSequence === null) break;
            expect(lastSequence).toBeGreaterThan(to);
            read.push(...sequencesIn(bytes));
            to = lastSequence;
          }
          const sound = life.filter((sequence) => !spoilt.has(sequence));
          expect(read).toEqual(sound.filter((sequence) => sequence > after));
          expect(file.lastSequence()).toBe(sound.at(-1) ?? null);
          expect(file.mark()?.sequence ?? null).toBe(sound[0] ?? null);
          file.close();
        },
      ),
    );
  });

  it('lets alarms and clocks overtake, and tells how far it has looked', () => {
    const file = lifeOf([1, 2, 3, 4, 5, 6, 7], new Set(), [
      note,
      alarm,
      note,
      clock,
      note,
      note,
      alarm,
    ]);
    const first = file.overtaking(0, 2);
    expect(sequencesIn(first.bytes)).toEqual([2, 4]);
    expect(first.lastSequence).toBe(4);
    expect(sequencesIn(file.overtaking(4, 2).bytes)).toEqual([7]);
    expect(file.overtaking(7, 2)).toEqual({ bytes: new Uint8Array(), lastSequence: null });
    file.close();
  });

  it('dates an entry by the clock of its boot nearby', () => {
    const file = lifeOf([1, 2, 3], new Set(), [note, clock, note]);
    const { bytes } = file.after(2, 1);
    expect(unpackEntry(bytes, 0)?.sequence).toBe(3);
    expect(file.timeOf(bytes)).toBe(5_001_000);
    file.close();
  });
});
