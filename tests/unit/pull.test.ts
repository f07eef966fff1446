import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CommandError } from '../../cli/failure';
import { type PullTarget, pullJournal } from '../../cli/journal/pull';
import { openSegment, readSegment, type Segment } from '../../cli/journal/segment';
import { type CallParams, type Client, LinkError } from '../../cli/link/client';
import { toBase64 } from '../../shared/bytes';
import { ENTRY_BYTES, packEntry } from '../../shared/journal/codec';
import { LINK_LIMITS, type MethodName, type Result } from '../../shared/link/methods';
import { holdsAsync } from '../properties';
import { FakeDisk } from './fake-disk';

type Answers = { readonly [M in MethodName]?: (params: CallParams<M>) => Result<M> };

/** A controller with a journal: entries `first` to `next` - 1, told apart from another by `mark`. */
class Controller implements Client {
  readonly hello = {
    product: 'Trayward',
    link: 1,
    firmware: '0.1.0',
    boardId: '00',
    boot: 1,
    uptimeMs: 0,
    unixMs: null,
  };
  readonly port = 'bench';
  boot = 1;
  /** The link is lost at this call, counted from now. */
  lostAtCall = Number.POSITIVE_INFINITY;
  /** Numbers that its flash has lost, and that come damaged. */
  readonly lost = new Set<number>();
  readonly damaged = new Set<number>();
  readonly #answers: Answers = {
    'journal.info': () => ({
      first: this.first,
      next: this.next,
      boot: this.boot,
      uptimeMs: 0,
    }),
    'journal.page': ({ from, count }) => this.page(from, count),
  };

  constructor(
    readonly mark: number,
    public first: number,
    public next: number,
  ) {}

  async call<M extends MethodName>(method: M, params: CallParams<M>): Promise<Result<M>> {
    if (--this.lostAtCall < 0) throw new LinkError('lost', 'The line went away.');
    const answer = this.#answers[method];
    if (answer === undefined) throw new Error(`not asked for in a pull: ${method}`);
    return answer(params);
  }

  async close(): Promise<void> {}

  page(from: number, count: number): Result<'journal.page'> {
    let start = Math.max(from, this.first);
    while (start < this.next && this.lost.has(start)) start++;
    let end = start;
    while (end < Math.min(this.next, start + count) && !this.lost.has(end)) end++;
    const bytes = new Uint8Array((end - start) * ENTRY_BYTES);
    for (let sequence = start; sequence < end; sequence++) {
      const at = (sequence - start) * ENTRY_BYTES;
      const head = { sequence, boot: 1, uptimeMs: 0 };
      packEntry(head, { kind: 'fault', code: this.mark, detail: sequence }, bytes, at);
      if (this.damaged.has(sequence)) bytes[at + 12] = (bytes[at + 12] ?? 0) ^ 1;
    }
    const { first, next } = this;
    return { from: start, count: end - start, data: toBase64(bytes), first, next };
  }
}

/** A store of lives, each on a disk of its own. */
class Store implements PullTarget {
  readonly disks: FakeDisk[] = [new FakeDisk()];
  segment: Segment = openSegment(this.disk.file());

  get disk(): FakeDisk {
    return this.disks.at(-1) ?? new FakeDisk();
  }

  startLife(): Segment {
    this.disks.push(new FakeDisk());
    return this.reopen();
  }

  reopen(): Segment {
    this.segment = openSegment(this.disk.file());
    return this.segment;
  }

  sequences(life = this.disks.length - 1): number[] {
    const disk = this.disks[life] ?? new FakeDisk();
    return readSegment(disk.file()).entries.map(({ sequence }) => sequence);
  }
}

const range = (first: number, next: number): number[] =>
  Array.from({ length: next - first }, (_, i) => first + i);
const quietly = (): void => {};
const failureOf = async (pull: Promise<unknown>): Promise<CommandError> => {
  const error = await pull.then(
    () => null,
    (thrown: unknown) => thrown,
  );
  if (!(error instanceof CommandError)) throw new Error(`not refused in words: ${error}`);
  return error;
};

describe('a pull', () => {
  it('takes everything, and then only what is new', async () => {
    const board = new Controller(1, 1, 301);
    const store = new Store();
    const progress: number[] = [];
    const report = await pullJournal(board, store, (done, total) => progress.push(done / total));
    expect(report).toEqual({
      stored: 300,
      missing: 0,
      damaged: 0,
      newLife: false,
      lastSequence: 300,
    });
    expect(progress.at(-1)).toBe(1);
    expect(progress).toEqual([...progress].sort((a, b) => a - b));
    expect((await pullJournal(board, store, quietly)).stored).toBe(0);
    board.next = 305;
    expect((await pullJournal(board, store, quietly)).stored).toBe(4);
    expect(store.sequences()).toEqual(range(1, 305));
  });

  it('of an empty journal stores nothing and is no failure', async () => {
    const report = await pullJournal(new Controller(1, 1, 1), new Store(), quietly);
    expect(report).toMatchObject({ stored: 0, newLife: false, lastSequence: null });
  });

  it('interrupted anywhere, and begun again, has every entry once', async () => {
    const calls = fc.array(fc.nat(12), { maxLength: 6 });
    await holdsAsync(
      fc.asyncProperty(calls, fc.integer({ min: 0, max: 900 }), async (cuts, count) => {
        const board = new Controller(1, 1, count + 1);
        const store = new Store();
        for (const cut of cuts) {
          board.lostAtCall = cut;
          await pullJournal(board, store, quietly).catch((error) => {
            expect(error).toBeInstanceOf(LinkError);
          });
          store.reopen();
        }
        board.lostAtCall = Number.POSITIVE_INFINITY;
        await pullJournal(board, store, quietly);
        expect(store.sequences()).toEqual(range(1, count + 1));
        expect(store.disks.length).toBe(1);
      }),
    );
  });

  it('on a full disk says so and what to do, and the next one goes on', async () => {
    await holdsAsync(
      fc.asyncProperty(fc.nat(499 * ENTRY_BYTES), async (room) => {
        const board = new Controller(1, 1, 501);
        const store = new Store();
        store.disk.room = room;
        const failure = await failureOf(pullJournal(board, store, quietly));
        expect([failure.reason, failure.exitCode]).toEqual(['disk-full', 1]);
        expect(failure.message).toContain(`${store.sequences().length} new entries are stored`);
        store.disk.room = Number.POSITIVE_INFINITY;
        await pullJournal(board, store, quietly);
        expect(store.sequences()).toEqual(range(1, 501));
      }),
      { numRuns: 30 },
    );
  });

  it('counts what the ring had overwritten before it came, and what the flash lost', async () => {
    const board = new Controller(1, 1, 11);
    const store = new Store();
    await pullJournal(board, store, quietly);
    board.first = 200;
    board.next = 400;
    for (const sequence of range(250, 260)) board.lost.add(sequence);
    const report = await pullJournal(board, store, quietly);
    expect(report).toMatchObject({ stored: 190, missing: 189 + 10, newLife: false });
  });

  it('leaves out what came damaged, and counts it once', async () => {
    const board = new Controller(1, 1, 101);
    board.damaged.add(40);
    const store = new Store();
    const report = await pullJournal(board, store, quietly);
    expect(report).toMatchObject({ stored: 99, damaged: 1, missing: 0 });
    expect(store.sequences()).toEqual(range(1, 101).filter((sequence) => sequence !== 40));
  });

  it('goes over a ring that turns while it is read', async () => {
    const board = new Controller(1, 1, 2_001);
    const store = new Store();
    await pullJournal(board, store, () => {
      board.first = Math.max(board.first, 1_000);
    });
    const sequences = store.sequences();
    expect(sequences.slice(-1_001)).toEqual(range(1_000, 2_001));
    expect(new Set(sequences).size).toBe(sequences.length);
  });
});

describe('a journal that began anew', () => {
  const pulled = async (): Promise<Store> => {
    const store = new Store();
    await pullJournal(new Controller(1, 1, 201), store, quietly);
    return store;
  };

  it('is kept as another life, and the old one stays', async () => {
    const store = await pulled();
    const report = await pullJournal(new Controller(2, 1, 51), store, quietly);
    expect(report).toMatchObject({ newLife: true, stored: 50, missing: 0 });
    expect(store.sequences(0)).toEqual(range(1, 201));
    expect(store.sequences(1)).toEqual(range(1, 51));
  });

  it('is noticed though it has grown past the old one', async () => {
    const store = await pulled();
    const report = await pullJournal(new Controller(2, 1, 500), store, quietly);
    expect([report.newLife, report.stored]).toEqual([true, 499]);
  });

  it('is noticed by its boot number, where its entries can no longer be compared', async () => {
    const store = await pulled();
    const board = new Controller(2, 900, 950);
    board.boot = 0;
    expect((await pullJournal(board, store, quietly)).newLife).toBe(true);
  });

  it('is not suspected where the last entry stored has merely been lost or overwritten', async () => {
    for (const first of [1, 400]) {
      const store = await pulled();
      const board = new Controller(1, first, 450);
      board.lost.add(200);
      expect((await pullJournal(board, store, quietly)).newLife).toBe(false);
    }
  });
});

describe('a controller that does not keep to its own words', () => {
  class Odd extends Controller {
    constructor(readonly odd: Partial<Result<'journal.page'>>) {
      super(1, 1, 11);
    }
    override page(from: number, count: number): Result<'journal.page'> {
      return { ...super.page(from, count), ...this.odd };
    }
  }

  it('is refused in words, and what is stored stays sound', async () => {
    const wrong: [Partial<Result<'journal.page'>>, string][] = [
      [{ data: 'AAAA' }, 'journal-page-malformed'],
      [{ data: '!' }, 'journal-page-malformed'],
      [{ count: LINK_LIMITS.pageEntries }, 'journal-page-malformed'],
      [{ count: 0, data: '' }, 'journal-stuck'],
    ];
    for (const [odd, reason] of wrong) {
      const store = new Store();
      const failure = await failureOf(pullJournal(new Odd(odd), store, quietly));
      expect(failure.reason).toBe(reason);
      expect(failure.next).not.toBe('');
      expect(store.sequences()).toEqual([]);
    }
  });
});
