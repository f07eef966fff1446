/** Pulls what is new from a controller into the store, several pages on their way at a time. */
import { fromBase64, isSameBytes } from '../../shared/bytes';
import { ENTRY_BYTES, unpackEntry } from '../../shared/journal/codec';
import { LINK_LIMITS, type Result } from '../../shared/link/methods';
import { CommandError, failed } from '../failure';
import type { Client } from '../link/client';
import type { Segment } from './segment';

/** Pages asked for before the first is answered: hides the line's delay, keeps the queue short. */
export const PAGES_ON_THE_WAY = 4;

/** Pages between two forced writes: what a crash of the laptop may cost, and has to be pulled again. */
const PAGES_PER_SYNC = 16;

/** The part of `OpenStore` a pull writes to. */
export interface PullTarget {
  readonly segment: Segment;
  startLife(): Segment;
}

export interface PullReport {
  readonly stored: number;
  /** Entries the controller had overwritten before they could be pulled, or that its flash lost. */
  readonly missing: number;
  /** Entries that came with a wrong CRC and were left out. */
  readonly damaged: number;
  /** The controller's journal had begun anew (flash erased, or another board behind the same id). */
  readonly newLife: boolean;
  /** Sequence of the newest entry stored, or null. */
  readonly lastSequence: number | null;
}

type Page = Result<'journal.page'>;
type Info = Result<'journal.info'>;

function pageBytes(page: Page): Uint8Array {
  const bytes = fromBase64(page.data);
  if (bytes === null || bytes.length !== page.count * ENTRY_BYTES) {
    throw failed(
      'journal-page-malformed',
      'The controller sent a journal page that does not fit its own description.',
      'Run the command again; what is stored is sound. If it stays so, compare `trayward find` and `trayward --version`.',
    );
  }
  return bytes;
}

/** Whether the controller's journal continues the one stored. */
async function continues(client: Client, segment: Segment, info: Info): Promise<boolean> {
  const last = segment.last();
  const packed = segment.lastPacked();
  if (last === null || packed === null) return true;
  if (last.sequence >= info.next || last.boot > info.boot) return false;
  if (last.sequence < info.first) return true;
  const page = await client.call('journal.page', { from: last.sequence, count: 1 });
  if (page.count === 0 || page.from !== last.sequence) return true;
  const bytes = pageBytes(page);
  return unpackEntry(bytes, 0) === null || isSameBytes(bytes, packed);
}

function diskFull(stored: number, cause: unknown): CommandError {
  return new CommandError(
    'failed',
    'disk-full',
    `The disk is full. ${stored} new entries are stored and sound; the rest is still on the controller.`,
    'Free some space, then run the command again: it goes on where it stopped.',
    [],
    { cause },
  );
}

function isDiskFull(error: unknown): boolean {
  return (
    error instanceof Error &&
    'code' in error &&
    (error.code === 'ENOSPC' || error.code === 'EDQUOT')
  );
}

/**
 * Pulls everything new. `onProgress` is told entries done and entries in all. Interrupted at any
 * point, the next pull goes on from the last entry stored. Throws `CommandError` or `LinkError`.
 */
export async function pullJournal(
  client: Client,
  target: PullTarget,
  onProgress: (done: number, total: number) => void,
): Promise<PullReport> {
  const info = await client.call('journal.info', {});
  const newLife = !(await continues(client, target.segment, info));
  const segment = newLife ? target.startLife() : target.segment;
  const last = segment.last();
  const start = Math.max(info.first, (last?.sequence ?? 0) + 1);
  const count = { stored: 0, damaged: 0, missing: 0, pages: 0 };

  try {
    await pages(client, start, info.next, (page) => {
      const result = segment.append(pageBytes(page));
      count.stored += result.stored;
      count.damaged += result.damaged;
      count.missing += result.missing;
      count.pages += 1;
      if (count.pages % PAGES_PER_SYNC === 0) segment.sync();
      onProgress(page.from + page.count - start, info.next - start);
    });
    segment.sync();
  } catch (error) {
    throw isDiskFull(error) ? diskFull(count.stored, error) : error;
  }
  return {
    stored: count.stored,
    missing: Math.max(0, count.missing - count.damaged),
    damaged: count.damaged,
    newLife,
    lastSequence: segment.last()?.sequence ?? null,
  };
}

/** Hands every page from `start` up to `end` to `take`, in order, keeping a few on their way. */
async function pages(
  client: Client,
  start: number,
  end: number,
  take: (page: Page) => void,
): Promise<void> {
  let from = start;
  while (from < end) {
    const before = from;
    from = await window(client, from, end, take);
    if (from <= before) {
      throw failed(
        'journal-stuck',
        `The controller says its journal ends at ${end - 1}, and gives nothing from ${from} on.`,
        'What was pulled is stored. Run the command again; if it stays so, see `trayward status` for alarms about storage.',
      );
    }
  }
}

/**
 * Asks for pages from `from` on until `end`, or until one comes back other than asked (short, or
 * further on because the ring turned); returns where to go on.
 */
async function window(
  client: Client,
  from: number,
  end: number,
  take: (page: Page) => void,
): Promise<number> {
  const asked: { from: number; count: number; reply: Promise<Page> }[] = [];
  let ask = from;
  let next = from;
  try {
    for (;;) {
      while (ask < end && asked.length < PAGES_ON_THE_WAY) {
        const count = Math.min(LINK_LIMITS.pageEntries, end - ask);
        const reply = client.call('journal.page', { from: ask, count });
        // A page that fails while an earlier one is awaited must not count as unhandled.
        reply.catch(() => {});
        asked.push({ from: ask, count, reply });
        ask += count;
      }
      const oldest = asked.shift();
      if (oldest === undefined) return next;
      const page = await oldest.reply;
      if (page.count === 0) return Math.max(next, Math.min(page.first, end));
      take(page);
      next = page.from + page.count;
      if (page.from !== oldest.from || page.count !== oldest.count) return next;
    }
  } finally {
    await Promise.allSettled(asked.map(({ reply }) => reply));
  }
}
