/**
 * Settings: a log of key/value records over a ring of sectors. The record with the highest sequence
 * speaks for its key, so a power cut leaves the old value or the new one. Live records are carried
 * forward before their sector's turn comes, so an erase never takes the only copy of anything.
 *
 * Wear: a checkpoint of half a kilobyte each five minutes fills a sector in 30 minutes and comes round
 * all sixteen in 8 hours: 100,000 erases last 90 years.
 */
import { FLASH_MAP, FLASH_PAGE_BYTES, FLASH_SECTOR_BYTES } from '../../shared/board/map';
import { writtenBytes } from '../../shared/bytes';
import type { FlashAccess } from './flash-access';
import { NO_SECTOR, openSectorRing, SECTOR_HEADER_BYTES } from './sector-ring';
import {
  isValueSound,
  KEY_MAX,
  makeRecord,
  programPages,
  RECORD_STEP_BYTES,
  type RecordHead,
  readHead,
  readValue,
  recordBytes,
  VALUE_BYTES_MAX,
} from './settings-record';

const MAGIC = 0x53455454;
/** Live records older than so many sectors are carried forward: half the ring stays free to erase. */
const CARRY_AFTER_SECTORS = 8;
/** With less room left than this the next sector is opened ahead of need: a tick may write two checkpoints and alarms. */
const PREPARE_BELOW_BYTES = 1152;
/** Sectors opened for one value: the first may be worn, or full of what was carried into it. */
const OPENED_FOR_ONE_MAX = 2;

export interface Settings {
  /** The value of a key, or null. */
  get(key: number): Uint8Array | null;
  /** Puts a value of at most 1 KB under a key 1..255. False when the flash failed: the old one stays. */
  set(key: number, value: Uint8Array): boolean;
  /** Opens the next sector ahead of need (about 45 ms). Call between ticks. */
  prepare(): void;
  eraseCountMax(): number;
}

interface Live {
  readonly offset: number;
  readonly head: RecordHead;
}

/** Opens the settings; reads only. */
export function openSettings(flash: FlashAccess): Settings {
  const ring = openSectorRing(flash, FLASH_MAP.settings, MAGIC);
  const live = new Map<number, Live>();
  const scratch = new Uint8Array(FLASH_PAGE_BYTES);
  const step = new Uint8Array(RECORD_STEP_BYTES);
  let sequence = 0;
  /** The last one written. Nearly all are checkpoints, as long as each other. */
  let record: Uint8Array = new Uint8Array(0);

  const sectorOf = (offset: number): number =>
    Math.floor((offset - FLASH_MAP.settings.offset) / FLASH_SECTOR_BYTES);

  /** Takes in the records of a sector, written up to `written`; returns the first place behind the last sound head's record. */
  function scan(index: number, written: number): number {
    const start = ring.offsetOf(index);
    const end = start + FLASH_SECTOR_BYTES;
    let behind = start + SECTOR_HEADER_BYTES;
    let at = behind;
    while (at < written) {
      flash.flashRead(at, step);
      const head = readHead(step, 0);
      if (head === null || at + recordBytes(head.length) > end) {
        at += RECORD_STEP_BYTES;
        continue;
      }
      sequence = Math.max(sequence, head.sequence);
      const known = live.get(head.key);
      const newer = known === undefined || head.sequence > known.head.sequence;
      if (newer && isValueSound(flash, at, head, scratch)) live.set(head.key, { offset: at, head });
      at += recordBytes(head.length);
      behind = at;
    }
    return behind;
  }

  /** First place of a sector behind everything ever written to it, torn records included. */
  function endOfWritten(index: number): number {
    const start = ring.offsetOf(index);
    for (let at = FLASH_SECTOR_BYTES - FLASH_PAGE_BYTES; at >= 0; at -= FLASH_PAGE_BYTES) {
      flash.flashRead(start + at, scratch);
      const written = writtenBytes(scratch);
      if (written > 0) {
        return start + Math.ceil((at + written) / RECORD_STEP_BYTES) * RECORD_STEP_BYTES;
      }
    }
    return start + SECTOR_HEADER_BYTES;
  }

  let mayPrepare = true;
  let writeAt = 0;
  // From the newest backwards: of values that newer ones have replaced only the heads are looked at then.
  for (let back = 0; back < ring.sectors; back++) {
    const index = (ring.newest() + ring.sectors - back) % ring.sectors;
    if (ring.numberOf(index) === 0) continue;
    const written = endOfWritten(index);
    const behind = scan(index, written);
    // A value that ends in FFh looks like erased flash: its head tells how far it goes.
    if (index === ring.newest()) writeAt = Math.max(behind, written);
  }

  const leftBytes = (): number =>
    ring.newest() === NO_SECTOR ? 0 : ring.offsetOf(ring.newest()) + FLASH_SECTOR_BYTES - writeAt;

  const holdsLive = (index: number): boolean => {
    for (const { offset } of live.values()) if (sectorOf(offset) === index) return true;
    return false;
  };

  /** Writes one record behind the last; false when it does not fit or the flash failed. */
  function append(key: number, value: Uint8Array): boolean {
    record = makeRecord(key, sequence + 1, value, record);
    if (record.length > leftBytes()) return false;
    const offset = writeAt;
    // Taken even when the programming fails: what was touched once is not programmed again.
    writeAt += record.length;
    sequence++;
    if (!programPages(flash, offset, record)) return false;
    const head = readHead(record, 0);
    if (head === null || !isValueSound(flash, offset, head, scratch)) return false;
    live.set(key, { offset, head });
    return true;
  }

  /** Opens the next sector and carries old live records into it. */
  function openNext(): boolean {
    const index = ring.openNext((candidate) => !holdsLive(candidate));
    if (index === NO_SECTOR) return false;
    writeAt = ring.offsetOf(index) + SECTOR_HEADER_BYTES;
    const newest = ring.numberOf(index);
    for (const [key, { offset, head }] of [...live]) {
      if (newest - ring.numberOf(sectorOf(offset)) < CARRY_AFTER_SECTORS) continue;
      append(key, readValue(flash, offset, head));
    }
    return true;
  }

  return {
    get: (key) => {
      const found = live.get(key);
      return found === undefined ? null : readValue(flash, found.offset, found.head);
    },
    set: (key, value) => {
      mayPrepare = true;
      if (key < 1 || key > KEY_MAX || value.length > VALUE_BYTES_MAX) return false;
      for (let opened = 0; !append(key, value); opened++) {
        if (opened === OPENED_FOR_ONE_MAX || !openNext()) return false;
      }
      return true;
    },
    prepare: () => {
      if (!mayPrepare || leftBytes() >= PREPARE_BELOW_BYTES) return;
      // On a chip that refuses everything, try again only when something was to be written.
      mayPrepare = false;
      openNext();
    },
    eraseCountMax: ring.eraseCountMax,
  };
}
