/** The journal over the link, page by page. */
import { toBase64 } from '../../shared/bytes';
import { ENTRY_BYTES } from '../../shared/journal/codec';
import { LINK_LIMITS, type Params, type Result } from '../../shared/link/methods';
import type { Tray } from '../tray/tray';

/** Pages of one tray's journal; one buffer serves them all. */
export class JournalPages {
  readonly #page = new Uint8Array(LINK_LIMITS.pageEntries * ENTRY_BYTES);

  constructor(readonly tray: Tray) {}

  /** How far the journal goes, and where the board stands. */
  info(): Result<'journal.info'> {
    const { journal, boot, uptimeMs } = this.tray;
    return { first: journal.first(), next: journal.next(), boot, uptimeMs };
  }

  /** At most `count` entries from number `from` on, packed as on the flash. */
  page({ from, count }: Params<'journal.page'>): Result<'journal.page'> {
    const { journal } = this.tray;
    const read = journal.readPacked(from, Math.min(count, LINK_LIMITS.pageEntries), this.#page);
    return {
      from: read.from,
      count: read.count,
      data: toBase64(this.#page, 0, read.count * ENTRY_BYTES),
      first: journal.first(),
      next: journal.next(),
    };
  }
}
