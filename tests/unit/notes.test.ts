/** Notes: cut into entries of the journal, and put together again. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { DatedEntry } from '../../cli/journal/dating';
import { describeEntry } from '../../cli/journal/describe';
import { wholeNotes } from '../../cli/journal/notes';
import { encodeUtf8 } from '../../shared/bytes';
import { ENTRY_BYTES, packEntry, unpackEntry } from '../../shared/journal/codec';
import type { JournalBody } from '../../shared/journal/kinds';
import { isNote, NOTE_MAX_BYTES, NOTE_PIECE_BYTES, notePieces } from '../../shared/journal/notes';
import { holds } from '../properties';

const anyNote = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 96 }).filter(isNote);

/** Bodies as a board writes them, from sequence `first` on, and reads them back from flash. */
function written(bodies: readonly JournalBody[], first = 1, boot = 1): DatedEntry[] {
  return bodies.map((body, i) => {
    const bytes = new Uint8Array(ENTRY_BYTES);
    packEntry({ sequence: first + i, boot, uptimeMs: 5_000 }, body, bytes, 0);
    const entry = unpackEntry(bytes, 0);
    if (entry === null) throw new Error('unreadable');
    return { entry, life: 1, unixMs: 1_000, afterMs: 1_000, beforeMs: 1_000 };
  });
}

const noteOf = (text: string): JournalBody[] =>
  notePieces(text).map((piece, i, all) => ({
    kind: 'note',
    more: all.length - 1 - i,
    text: piece,
  }));
const FAULT: JournalBody = { kind: 'fault', code: 1, detail: 2 };
const said = (entries: readonly DatedEntry[]): string[] =>
  wholeNotes(entries).map(({ entry }) => describeEntry(entry, 'metric'));

describe('a note', () => {
  it('comes back from its entries as it was written, whatever stands before and after', () => {
    holds(
      fc.property(anyNote, anyNote, (one, other) => {
        const bodies = [FAULT, ...noteOf(one), ...noteOf(other), FAULT];
        const notes = said(written(bodies)).slice(1, -1);
        expect(notes).toEqual([`Note: "${one}".`, `Note: "${other}".`]);
      }),
    );
  });

  it('is cut into few pieces, none longer than an entry holds, none through a character', () => {
    holds(
      fc.property(anyNote, (text) => {
        const pieces = notePieces(text);
        expect(pieces.join('')).toBe(text);
        expect(pieces.length).toBeLessThanOrEqual(8);
        for (const piece of pieces) {
          const { length } = encodeUtf8(piece);
          expect(length).toBeGreaterThan(0);
          expect(length).toBeLessThanOrEqual(NOTE_PIECE_BYTES);
        }
      }),
    );
  });

  it('that a power cut, or a spoilt entry, has torn is shown as torn, and mixes with no other', () => {
    const long = noteOf('leaned to the window, lamp lowered');
    // The power failed before its end: the board has started anew since.
    const torn = [...written(long.slice(0, 2)), ...written(noteOf('misted'), 3, 2)];
    expect(said(torn)).toEqual([
      'Note: "leaned to the window, lamp lower", torn off.',
      'Note: "misted".',
    ]);
    const [first, , last] = written(long);
    if (first === undefined || last === undefined) throw new Error('too short');
    expect(said([first, last])).toEqual(['Note: "leaned to the wi", torn off.', 'Note: "ed".']);
  });

  it.each([
    '',
    'two\nlines',
    'two\u2028lines',
    'next\u0085line',
    'bell\u0007',
    'x'.repeat(NOTE_MAX_BYTES + 1),
    'ü'.repeat(49),
  ])('cannot be %j', (text) => {
    expect(isNote(text)).toBe(false);
  });

  it('that an older board took with a line of its own is told on one', () => {
    expect(said(written(noteOf('two\u2028lines\u0085'))).join()).toBe('Note: "two lines ".');
  });

  it('may be as long as it may be', () => {
    expect(isNote('x'.repeat(NOTE_MAX_BYTES))).toBe(true);
    expect(isNote('ü'.repeat(NOTE_MAX_BYTES / 2))).toBe(true);
  });
});
