/**
 * The journal: an append-only ring of packed entries. An entry's sequence number *is* its place
 * (`(sector number - 1) * 127 + slot + 1`), so a number cannot be given twice, a lost entry shows as
 * a missing number, and finding an entry needs no search. Layout and reasons: README.md here.
 */
import { FLASH_MAP, FLASH_PAGE_BYTES, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { writtenBytes } from '../../shared/bytes';
import {
  ENTRY_BYTES,
  entryHead,
  entryKind,
  entrySequence,
  isEntrySound,
  packEntry,
} from '../../shared/journal/codec';
import type { EntryHead, JournalBody, JournalKind } from '../../shared/journal/kinds';
import { assert } from '../assert';
import type { FlashAccess } from './flash-access';
import { NO_SECTOR, openSectorRing, SECTOR_HEADER_BYTES } from './sector-ring';

/** "TWJ1" as little-endian bytes. */
const MAGIC = 0x314a5754;
export const ENTRIES_PER_SECTOR = (FLASH_SECTOR_BYTES - SECTOR_HEADER_BYTES) / ENTRY_BYTES;
/** Entries looked at to recognise a sector whose header is damaged: those beside it, in its page. */
const RECOGNISE_ENTRIES = 7;
/** The newest entries may be torn by power cuts, one at each. */
const LOOK_BACK_ENTRIES = 8;
/** Sectors tried for one entry. Two that refuse in a row are no longer bad luck with one sector. */
const APPEND_TRIES = 3;

export interface JournalPage {
  /** Sequence number of the first entry delivered; where to go on when `count` is 0. */
  readonly from: number;
  readonly count: number;
}

export interface Journal {
  /** Sequence number of the oldest entry kept; equal to `next()` when there are none. */
  first(): number;
  /** Sequence number that the next entry gets, at least. */
  next(): number;
  /**
   * Writes one entry. False when the flash refused it in several places; the entry is then lost,
   * and its numbers with it. `uptimeMs` is kept to 100 ms.
   */
  append(boot: number, uptimeMs: number, body: JournalBody): boolean;
  /**
   * Copies sound entries with consecutive numbers to the start of `into`: at most `count`, and at
   * most what fits. Starts at `from`, or at the first sound entry after it; go on at `from + count`
   * of the answer until that reaches `next()`.
   */
  readPacked(from: number, count: number, into: Uint8Array): JournalPage;
  /** The newest sound entry, of another kind than `but`, as far as one lies among the last few; null where none does. */
  newest(but?: JournalKind): EntryHead | null;
  /** Erases a sector ahead of need when none is ready (about 45 ms). Call between ticks. */
  prepare(): void;
  eraseCountMax(): number;
}

const numberOfSector = (sequence: number): number =>
  Math.floor((sequence - 1) / ENTRIES_PER_SECTOR) + 1;
const firstSequenceOf = (sectorNumber: number): number =>
  (sectorNumber - 1) * ENTRIES_PER_SECTOR + 1;
const slotOffset = (slot: number): number => SECTOR_HEADER_BYTES + slot * ENTRY_BYTES;

/** Finds where the journal stands. Reads the headers and one or two sectors; writes nothing. */
export function openJournal(flash: FlashAccess): Journal {
  const entry = new Uint8Array(ENTRY_BYTES);
  const beside = new Uint8Array(RECOGNISE_ENTRIES * ENTRY_BYTES);
  const ring = openSectorRing(flash, FLASH_MAP.journal, MAGIC, (offset) =>
    numberByEntries(flash, offset, beside),
  );
  /** The sector that takes entries, its next free slot, and the one that is ready to follow it. */
  let current = NO_SECTOR;
  let slot = ENTRIES_PER_SECTOR;
  let ready = NO_SECTOR;
  let mayPrepare = true;

  const newest = ring.newest();
  if (newest !== NO_SECTOR) {
    current = newest;
    slot = slotsUsed(flash, ring.offsetOf(newest));
    const before = ring.find(ring.numberOf(newest) - 1);
    if (slot === 0 && before !== NO_SECTOR) {
      ready = newest;
      current = before;
      slot = slotsUsed(flash, ring.offsetOf(current));
    }
  }

  const next = (): number => {
    if (slot < ENTRIES_PER_SECTOR) return firstSequenceOf(ring.numberOf(current)) + slot;
    return firstSequenceOf(ready === NO_SECTOR ? ring.nextNumber() : ring.numberOf(ready));
  };
  const first = (): number => {
    const oldest = ring.lowestFrom(1);
    return oldest === 0 ? next() : firstSequenceOf(oldest);
  };
  const moveToNextSector = (): boolean => {
    if (ready === NO_SECTOR) ready = ring.openNext((index) => index !== current);
    if (ready === NO_SECTOR) return false;
    current = ready;
    ready = NO_SECTOR;
    slot = 0;
    return true;
  };

  const readPacked: Journal['readPacked'] = (from, count, into) => {
    const room = Math.min(count, Math.floor(into.length / ENTRY_BYTES));
    const end = next();
    let start = Math.max(from, first());
    let found = 0;
    while (found < room && start + found < end) {
      const sequence = start + found;
      const sectorNumber = numberOfSector(sequence);
      const index = ring.find(sectorNumber);
      const sectorEnd = Math.min(firstSequenceOf(sectorNumber + 1), end);
      if (index === NO_SECTOR) {
        if (found > 0) break;
        const later = ring.lowestFrom(sectorNumber + 1);
        start = later === 0 ? end : firstSequenceOf(later);
        continue;
      }
      const wanted = Math.min(room - found, sectorEnd - sequence);
      const at = found * ENTRY_BYTES;
      const run = into.subarray(at, at + wanted * ENTRY_BYTES);
      flash.flashRead(
        ring.offsetOf(index) + slotOffset(sequence - firstSequenceOf(sectorNumber)),
        run,
      );
      const damaged = found > 0 ? 0 : countUnsound(run, sequence);
      start += damaged;
      if (damaged > 0) run.copyWithin(0, damaged * ENTRY_BYTES);
      const sound = countSound(run, start + found, wanted - damaged);
      found += sound;
      if (damaged + sound < wanted) break;
    }
    return { from: start, count: found };
  };
  const newestEntry = (but?: JournalKind): EntryHead | null => {
    for (let back = 1; back <= LOOK_BACK_ENTRIES; back++) {
      const { count } = readPacked(next() - back, 1, entry);
      if (count > 0 && entryKind(entry, 0) !== but) return entryHead(entry, 0);
    }
    return null;
  };

  return {
    first,
    next,
    append: (boot, uptimeMs, body) => {
      mayPrepare = true;
      for (let tries = 0; tries < APPEND_TRIES; tries++) {
        if (slot >= ENTRIES_PER_SECTOR && !moveToNextSector()) break;
        const sequence = next();
        packEntry({ sequence, boot, uptimeMs }, body, entry, 0);
        const written = flash.flashProgram(ring.offsetOf(current) + slotOffset(slot), entry);
        // Whatever wrote meanwhile took the same number.
        assert(next() === sequence, 'journal-one-by-one');
        slot++;
        if (written) return true;
        // Where one page wears out the others are about to: leave the rest of the sector empty.
        slot = ENTRIES_PER_SECTOR;
      }
      return false;
    },
    readPacked,
    newest: newestEntry,
    prepare: () => {
      if (ready !== NO_SECTOR || !mayPrepare) return;
      ready = ring.openNext((index) => index !== current);
      // On a chip that refuses everything, try again only when something was to be written.
      mayPrepare = false;
    },
    eraseCountMax: ring.eraseCountMax,
  };
}

/** How many entries from the start of `run` are not the sound entries numbered from `sequence` on. */
function countUnsound(run: Uint8Array, sequence: number): number {
  const entries = run.length / ENTRY_BYTES;
  let count = 0;
  while (count < entries && !isEntryNumbered(run, count, sequence + count)) count++;
  return count;
}

/** How many of the first `entries` of `run` are, without a break, those numbered from `sequence` on. */
function countSound(run: Uint8Array, sequence: number, entries: number): number {
  let count = 0;
  while (count < entries && isEntryNumbered(run, count, sequence + count)) count++;
  return count;
}

function isEntryNumbered(run: Uint8Array, index: number, sequence: number): boolean {
  const offset = index * ENTRY_BYTES;
  return entrySequence(run, offset) === sequence && isEntrySound(run, offset);
}

/** Sector number by the first sound entry beside a damaged header, read into `beside`; 0 when there is none. */
function numberByEntries(flash: FlashAccess, sectorOffset: number, beside: Uint8Array): number {
  flash.flashRead(sectorOffset + slotOffset(0), beside);
  // Most sectors of a young journal are.
  if (writtenBytes(beside) === 0) return 0;
  for (let slot = 0; slot < RECOGNISE_ENTRIES; slot++) {
    const at = slot * ENTRY_BYTES;
    if (!isEntrySound(beside, at)) continue;
    const sequence = entrySequence(beside, at);
    const number = numberOfSector(sequence);
    if (sequence === firstSequenceOf(number) + slot) return number;
  }
  return 0;
}

/** Slots of a sector up to the last that is not erased, torn ones included. */
function slotsUsed(flash: FlashAccess, sectorOffset: number): number {
  const page = new Uint8Array(FLASH_PAGE_BYTES);
  for (let at = FLASH_SECTOR_BYTES - FLASH_PAGE_BYTES; at >= 0; at -= FLASH_PAGE_BYTES) {
    flash.flashRead(sectorOffset + at, page);
    const written = writtenBytes(page);
    if (written > 0) {
      return Math.max(0, Math.ceil((at + written - SECTOR_HEADER_BYTES) / ENTRY_BYTES));
    }
  }
  return 0;
}
