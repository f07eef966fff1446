/** A flash chip as it is after months: the journal has gone round its ring. */
import { FLASH_MAP, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { ENTRIES_PER_SECTOR, openJournal } from '../storage/journal';
import type { SimulatedFlash } from './flash';

/** As many entries as the journal holds, and with them the first ones erased again. */
export function fillJournal(flash: SimulatedFlash): void {
  const journal = openJournal(flash);
  const entries = (FLASH_MAP.journal.bytes / FLASH_SECTOR_BYTES) * ENTRIES_PER_SECTOR;
  for (let i = 0; i < entries; i += 1) journal.append(1, 0, { kind: 'fault', code: 0, detail: i });
}
