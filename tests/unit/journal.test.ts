import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BrokenInvariant } from '../../firmware/assert';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { ENTRIES_PER_SECTOR, type Journal, openJournal } from '../../firmware/storage/journal';
import { FLASH_MAP, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { ENTRY_BYTES, unpackEntry } from '../../shared/journal/codec';
import { holds } from '../properties';
import { stepsAsking } from './step';

const { offset: START, bytes: BYTES } = FLASH_MAP.journal;
const SECTORS = BYTES / FLASH_SECTOR_BYTES;
/** What the ring keeps at least: all sectors but the one written to and the one made ready. */
const KEPT = (SECTORS - 2) * ENTRIES_PER_SECTOR;
const PAGE = new Uint8Array(500 * ENTRY_BYTES);

const note = (journal: Journal, code: number): boolean =>
  journal.append(1, 0, { kind: 'fault', code, detail: 0 });

interface Told {
  readonly sequence: number;
  readonly code: number;
}

/** Everything the journal has, oldest first, page by page as the link reads it. */
function readAll(journal: Journal, from = journal.first()): Told[] {
  const told: Told[] = [];
  let at = from;
  while (at < journal.next()) {
    const page = journal.readPacked(at, 500, PAGE);
    for (let i = 0; i < page.count; i++) {
      const entry = unpackEntry(PAGE, i * ENTRY_BYTES);
      if (entry?.kind !== 'fault') throw new Error(`entry ${page.from + i} is not as written`);
      told.push({ sequence: entry.sequence, code: entry.code });
    }
    const next = page.from + page.count;
    expect(next).toBeGreaterThan(at);
    at = next;
  }
  return told;
}

/** A chip whose journal has gone round the ring once and a half, made once. */
const SEASONED = ((): Uint8Array => {
  const flash = new SimulatedFlash();
  const journal = openJournal(flash);
  for (let i = 1; i <= 1.5 * SECTORS * ENTRIES_PER_SECTOR; i++) note(journal, journal.next());
  return flash.bytes;
})();

interface Model {
  /** The entries written, by sequence number, newest last. */
  readonly written: Map<number, number>;
  highest: number;
  code: number;
  worn: number;
}
interface Real {
  readonly flash: SimulatedFlash;
  journal: Journal;
}

const step = stepsAsking<Model, Real>((model, { journal }) => {
  expect(journal.next()).toBeGreaterThan(model.highest);
  expect(journal.first()).toBeLessThanOrEqual(journal.next());
});

const append = (count: number) =>
  step(`${count} entries`, (model, { journal }) => {
    for (let i = 0; i < count; i++) {
      const atLeast = journal.next();
      model.code++;
      if (!note(journal, model.code)) throw new Error('the flash refused an entry');
      // Where a sector was passed over, its numbers are gone, and the entry has a later one.
      const sequence = journal.readPacked(atLeast, 1, PAGE).from;
      // Tens of thousands, each of which `expect` would take longer for than the journal.
      if (sequence <= model.highest) throw new Error(`${sequence} after ${model.highest}`);
      model.written.set(sequence, model.code);
      model.highest = sequence;
    }
  });
const prepare = step('idle time', (_, { journal }) => journal.prepare());
const reopen = step('power off and on', (_, real) => {
  real.journal = openJournal(real.flash);
});
const read = step('read all of it', (model, { journal }) => {
  const told = readAll(journal);
  const sequences = told.map(({ sequence }) => sequence);
  expect(sequences).toEqual([...new Set(sequences)].sort((a, b) => a - b));
  // What was on the chip before has its own number as code.
  const wrong = told.filter(
    ({ sequence, code }) => code !== (model.written.get(sequence) ?? sequence),
  );
  expect(wrong).toEqual([]);
  const newest = [...model.written.keys()].slice(-KEPT + model.worn * ENTRIES_PER_SECTOR);
  const seen = new Set(sequences);
  expect(newest.filter((sequence) => !seen.has(sequence))).toEqual([]);
});
const wear = (sector: number) =>
  step(`sector ${sector} is worn out`, (model, { flash }) => {
    if (model.worn >= 3) return;
    model.worn++;
    flash.setWorn(START + sector * FLASH_SECTOR_BYTES, true);
  });

const steps = [
  fc.integer({ min: 1, max: 30 }).map(append),
  fc.integer({ min: 100, max: 4_000 }).map(append),
  fc.constant(prepare),
  fc.constant(reopen),
  fc.constant(read),
  fc.nat(SECTORS - 1).map(wear),
];

describe('the journal', () => {
  it('gives each entry a number of its own for ever, and tells every entry it keeps as written', () => {
    const fresh = fc.boolean();
    holds(
      fc.property(
        fresh,
        fc.commands(steps, { maxCommands: 30, size: 'max' }),
        (isFresh, commands) => {
          fc.modelRun(() => {
            const flash = new SimulatedFlash(isFresh ? {} : { contents: SEASONED });
            const journal = openJournal(flash);
            return {
              model: { written: new Map(), highest: journal.next() - 1, code: 5e9, worn: 0 },
              real: { flash, journal },
            };
          }, commands);
        },
      ),
      { numRuns: 8 },
    );
  });

  it('is empty on a new chip, and its first entry is number 1', () => {
    const journal = openJournal(new SimulatedFlash());
    expect([journal.first(), journal.next()]).toEqual([1, 1]);
    expect(journal.readPacked(1, 10, PAGE)).toEqual({ from: 1, count: 0 });
    note(journal, 5);
    expect(readAll(journal)).toEqual([{ sequence: 1, code: 5 }]);
  });

  it('keeps the newest entries when the ring turns, and forgets the oldest by whole sectors', () => {
    const journal = openJournal(new SimulatedFlash({ contents: SEASONED }));
    const told = readAll(journal);
    expect(told.length).toBeGreaterThanOrEqual(KEPT);
    expect(told[0]?.sequence).toBe(journal.first());
    expect(told.at(-1)?.sequence).toBe(journal.next() - 1);
    expect((journal.first() - 1) % ENTRIES_PER_SECTOR).toBe(0);
    expect(told.every(({ sequence, code }) => sequence === code)).toBe(true);
  });

  it('asked for what it has forgotten goes on at its oldest entry; past its end it has nothing', () => {
    const journal = openJournal(new SimulatedFlash({ contents: SEASONED }));
    expect(journal.readPacked(1, 5, PAGE)).toEqual({ from: journal.first(), count: 5 });
    expect(journal.readPacked(journal.next() + 9, 5, PAGE).count).toBe(0);
  });

  it('gives no more than asked for, and no more than fits', () => {
    const journal = openJournal(new SimulatedFlash({ contents: SEASONED }));
    const from = journal.first() + 100;
    expect(journal.readPacked(from, 60, PAGE)).toEqual({ from, count: 60 });
    const small = new Uint8Array(3 * ENTRY_BYTES + 5);
    expect(journal.readPacked(from, 60, small)).toEqual({ from, count: 3 });
  });

  it('passes over an entry that is damaged, and tells all the others', () => {
    holds(
      fc.property(fc.nat(299), fc.nat(ENTRY_BYTES * 8 - 1), (victim, bit) => {
        const flash = new SimulatedFlash();
        const journal = openJournal(flash);
        for (let code = 1; code <= 300; code++) note(journal, code);
        const sector = Math.floor(victim / ENTRIES_PER_SECTOR);
        const at =
          START +
          sector * FLASH_SECTOR_BYTES +
          ENTRY_BYTES +
          (victim % ENTRIES_PER_SECTOR) * ENTRY_BYTES +
          (bit >> 3);
        flash.bytes[at] = (flash.bytes[at] ?? 0) ^ (1 << (bit & 7));
        const codes = Array.from({ length: 300 }, (_, i) => i + 1).filter((c) => c !== victim + 1);
        for (const one of [journal, openJournal(flash)]) {
          expect(readAll(one).map(({ code }) => code)).toEqual(codes);
        }
        expect(openJournal(flash).next()).toBe(301);
      }),
      { numRuns: 40 },
    );
  });

  it('recognises a sector whose header is damaged by the entries in it', () => {
    const flash = new SimulatedFlash();
    const journal = openJournal(flash);
    for (let code = 1; code <= 300; code++) note(journal, code);
    flash.bytes.fill(0, START + FLASH_SECTOR_BYTES, START + FLASH_SECTOR_BYTES + 32);
    expect(readAll(openJournal(flash)).length).toBe(300);
  });

  it('writes on when single sectors are worn out, and loses nothing by it', () => {
    const flash = new SimulatedFlash();
    const journal = openJournal(flash);
    flash.setWorn(START + FLASH_SECTOR_BYTES, true);
    for (let code = 1; code <= 300; code++) expect(note(journal, code)).toBe(true);
    expect(readAll(openJournal(flash)).map(({ code }) => code)).toEqual(
      Array.from({ length: 300 }, (_, i) => i + 1),
    );
  });

  it('loses no entry when the sector it writes to wears out, and leaves the rest of it empty', () => {
    const flash = new SimulatedFlash();
    const journal = openJournal(flash);
    for (let code = 1; code <= 10; code++) note(journal, code);
    flash.setWorn(START, true);
    for (let code = 11; code <= 20; code++) expect(note(journal, code)).toBe(true);
    const told = readAll(openJournal(flash));
    expect(told.map(({ code }) => code)).toEqual(Array.from({ length: 20 }, (_, i) => i + 1));
    expect(told[10]?.sequence).toBe(ENTRIES_PER_SECTOR + 1);
  });

  it('leaves no gap when the power goes after a sector was made ready', () => {
    const flash = new SimulatedFlash();
    let journal = openJournal(flash);
    for (let code = 1; code <= 300; code++) {
      expect(journal.next()).toBe(code);
      note(journal, code);
      journal.prepare();
      journal = openJournal(flash);
    }
    expect(readAll(journal).length).toBe(300);
  });

  it('on a chip that refuses everything says so and does not throw', () => {
    const flash = new SimulatedFlash();
    for (let at = START; at < START + BYTES; at += FLASH_SECTOR_BYTES) flash.setWorn(at, true);
    const journal = openJournal(flash);
    journal.prepare();
    expect(note(journal, 1)).toBe(false);
    expect(journal.first()).toBe(journal.next());
  });

  it('on such a chip tries one sector for each entry, after the first few, and finds a sound one', () => {
    const flash = new SimulatedFlash();
    for (let at = START; at < START + BYTES; at += FLASH_SECTOR_BYTES) flash.setWorn(at, true);
    const journal = openJournal(flash);
    const erases = (): number => flash.eraseCounts.reduce((sum, count) => sum + count, 0);
    note(journal, 1);
    // A slow chip takes 0.4 s for each, within the tick that the watchdog waits for.
    expect(erases()).toBeLessThanOrEqual(4);
    for (let code = 2; code <= 10; code++) {
      const before = erases();
      expect(note(journal, code)).toBe(false);
      expect(erases()).toBe(before + 1);
    }
    flash.setWorn(START + erases() * FLASH_SECTOR_BYTES, false);
    expect(note(journal, 11)).toBe(true);
    expect(readAll(openJournal(flash)).map(({ code }) => code)).toEqual([11]);
  });

  it('erases nothing while an entry is written, when it had idle time before', () => {
    const flash = new SimulatedFlash({ contents: SEASONED });
    const journal = openJournal(flash);
    const erases = (): number => flash.eraseCounts.reduce((sum, count) => sum + count, 0);
    for (let code = 0; code < 1_000; code++) {
      journal.prepare();
      const before = erases();
      note(journal, code);
      expect(erases()).toBe(before);
    }
  });

  it('with arbitrary bytes in its region tells no entry, and works', () => {
    holds(
      fc.property(fc.uint8Array({ minLength: 64, maxLength: 8_192, size: 'max' }), (noise) => {
        const flash = new SimulatedFlash();
        for (let at = 0; at < BYTES; at++) flash.bytes[START + at] = noise[at % noise.length] ?? 0;
        const journal = openJournal(flash);
        expect(readAll(journal)).toEqual([]);
        expect(note(journal, 77)).toBe(true);
        expect(readAll(openJournal(flash)).map(({ code }) => code)).toEqual([77]);
      }),
      { numRuns: 10 },
    );
  });
});

describe('a number', () => {
  it.each([
    ['in the middle of a sector', 3],
    ['at its end', ENTRIES_PER_SECTOR],
  ])(
    'that would be given twice %s stops the board: the entry under it may have been pulled',
    (_where, twice) => {
      const flash = new SimulatedFlash();
      let again = false;
      const journal = openJournal({
        flashRead: (offset, into) => flash.flashRead(offset, into),
        flashErase: (offset) => flash.flashErase(offset),
        flashProgram: (offset, bytes) => {
          // Writing one entry leads to another, on the same place.
          if (journal.next() === twice && bytes.length === ENTRY_BYTES && !again) {
            again = true;
            note(journal, 9);
          }
          return flash.flashProgram(offset, bytes);
        },
      });
      while (journal.next() < twice) note(journal, 1);
      expect(() => note(journal, 3)).toThrow(BrokenInvariant);
    },
  );
});
