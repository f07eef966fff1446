/** Flash that wears out, and journals that are about to need a new sector. */
import { expect } from 'vitest';
import type { GrowerAt, GrowersBench } from '../../firmware/bench/grower';
import { ENTRIES_PER_SECTOR, openJournal } from '../../firmware/storage/journal';
import { FLASH_SECTOR_BYTES, type FlashRegion } from '../../shared/board/map';
import type { JournalEntry } from '../../shared/journal/kinds';
import { MINUTE_MS } from '../../shared/units/time';
import type { Grower } from '../simulation/grower';

/** Makes every sector of the region refuse. */
export const wear = (grower: Grower, { offset, bytes }: FlashRegion): void => {
  for (let at = offset; at < offset + bytes; at += FLASH_SECTOR_BYTES) {
    grower.bench.flash.setWorn(at, true);
  }
};

/** Entries up to the last but one of a sector, with none ready behind it. */
export function fillJournalSector({ bench }: Grower): void {
  const journal = openJournal(bench.flash);
  const used = () => (journal.next() - 1) % ENTRIES_PER_SECTOR;
  for (let i = 0; i <= ENTRIES_PER_SECTOR || used() !== ENTRIES_PER_SECTOR - 1; i += 1) {
    journal.append(1, 0, { kind: 'fault', code: 1, detail: i });
  }
}

/** What a board has written after `startsAndWrites`; the first fills a sector that `fillJournalSector` has left. */
export const WRITTEN = ['boot', 'reading', 'mark', 'mark'] as const;

/** Lets a board that was just switched on write the entries of its start, and two more. */
export function startsAndWrites(grower: GrowerAt<GrowersBench>): void {
  grower.bench.run(MINUTE_MS / 2);
  for (let i = 0; i < 2; i += 1) grower.call('mark.set', { mark: 'vented' });
  grower.bench.run(MINUTE_MS / 4);
}

/** All entries of before are there, as they were. */
export const sameEntries = (
  now: readonly JournalEntry[],
  before: readonly JournalEntry[],
): void => {
  const found = new Map(now.map((entry) => [entry.sequence, entry]));
  for (const entry of before) expect(found.get(entry.sequence)).toEqual(entry);
};
