import {
  appendFileSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { CommandError } from '../../cli/failure';
import { notePulled, openStore, readStore, storedControllers } from '../../cli/journal/store';
import { ENTRY_BYTES, packEntry } from '../../shared/journal/codec';

const BOARD = 'e6614103e7452d2f';
let store: string;
beforeEach(() => {
  store = mkdtempSync(join(tmpdir(), 'trayward-store-'));
});
afterEach(() => rmSync(store, { recursive: true, force: true }));

function entry(sequence: number): Uint8Array {
  const bytes = new Uint8Array(ENTRY_BYTES);
  packEntry(
    { sequence, boot: 1, uptimeMs: 0 },
    { kind: 'fault', code: sequence, detail: 0 },
    bytes,
    0,
  );
  return bytes;
}
const add = (...sequences: readonly number[]): void => {
  const open = openStore(store, BOARD);
  for (const sequence of sequences) open.segment.append(entry(sequence));
  open.segment.sync();
  open.close();
};
const read = () =>
  readStore(store, BOARD).map(({ life, entries, damaged }) => ({
    life,
    damaged,
    sequences: entries.map(({ sequence }) => sequence),
  }));

describe('the store on the laptop', () => {
  it('keeps what was stored from one run to the next', () => {
    add(1, 2);
    add(3);
    expect(read()).toEqual([{ life: 1, damaged: 0, sequences: [1, 2, 3] }]);
  });

  it('cuts off what a crash tore, and goes on there', () => {
    add(1, 2);
    appendFileSync(join(store, BOARD, 'life-0001.entries'), entry(3).subarray(0, 20));
    expect(read()).toEqual([{ life: 1, damaged: 0, sequences: [1, 2] }]);
    add(3);
    expect(read()).toEqual([{ life: 1, damaged: 0, sequences: [1, 2, 3] }]);
  });

  it('begins a new life in a file of its own, and goes on with the newest', () => {
    add(1, 2);
    const open = openStore(store, BOARD);
    open.startLife().append(entry(1));
    expect(open.segment.last()?.sequence).toBe(1);
    open.close();
    add(2);
    expect(read()).toEqual([
      { life: 1, damaged: 0, sequences: [1, 2] },
      { life: 2, damaged: 0, sequences: [1, 2] },
    ]);
  });

  it('is refused to a second pull while the first runs, and not after it', () => {
    const open = openStore(store, BOARD);
    expect(() => openStore(store, BOARD)).toThrow(CommandError);
    open.close();
    expect(() => openStore(store, BOARD).close()).not.toThrow();
  });

  it('takes over the lock of a program that died, or that wrote nonsense into it', () => {
    for (const holder of ['999999999\n', '', 'nonsense']) {
      openStore(store, BOARD).close();
      const lock = join(store, BOARD, 'lock');
      writeFileSync(lock, holder);
      utimesSync(lock, 0, 0);
      const open = openStore(store, BOARD);
      expect(readFileSync(lock, 'utf8')).toBe(`${process.pid}\n`);
      open.close();
      expect(existsSync(lock)).toBe(false);
    }
  });

  it('leaves alone the lock of a program that is just writing it', () => {
    openStore(store, BOARD).close();
    const lock = join(store, BOARD, 'lock');
    writeFileSync(lock, '');
    expect(() => openStore(store, BOARD)).toThrow(CommandError);
    expect(existsSync(lock)).toBe(true);
  });

  it('lists its controllers, the one pulled last first, and nothing else that lies there', () => {
    add(1);
    openStore(store, 'ab').close();
    writeFileSync(join(store, 'notes.txt'), 'mine');
    notePulled(store, BOARD, 1_700_000_000_000.4);
    expect(storedControllers(store)).toEqual([
      { boardId: BOARD, pulledMs: 1_700_000_000_000 },
      { boardId: 'ab', pulledMs: null },
    ]);
    expect(storedControllers(join(store, 'nowhere'))).toEqual([]);
  });

  it('never leaves its folder, whatever a controller calls itself', () => {
    for (const boardId of ['..', '../x', '', 'A', 'a/b', '0'.repeat(33)]) {
      expect(() => openStore(store, boardId)).toThrow();
    }
  });

  it('has no entries of a controller it does not know', () => {
    expect(readStore(store, 'ff')).toEqual([]);
  });
});
