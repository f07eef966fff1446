/** What the journals of all trays add, reckoned no oftener than it can have changed: an alarm may stand for days. */
import type { JournalEntry } from '../../../shared/journal/kinds';
import { WATCH_LIMITS } from '../limits';
import { type Detail, detailOf, type Kept } from './detail';

/** What was reckoned of a tray, and by which journal. */
interface Reckoned {
  readonly life: number;
  readonly sequence: number;
  readonly atMs: number;
  readonly detail: Detail;
}

const lastSequence = ({ life }: Kept): number => life.entries.at(-1)?.sequence ?? 0;

/** More than one reading after the other has been written since, dense or not. */
function hasHappened(entries: readonly JournalEntry[], sinceSequence: number): boolean {
  for (let i = entries.length - 1; i >= 0; i--) {
    const entry = entries[i];
    if (entry === undefined || entry.sequence <= sinceSequence) return false;
    if (entry.kind !== 'reading' && entry.kind !== 'trace') return true;
  }
  return false;
}

export class Details {
  readonly #known = new Map<string, Reckoned>();

  /** `reckon`: what the journal adds; tests count how often. */
  constructor(private readonly reckon: (kept: Kept) => Detail = detailOf) {}

  /** For decisions: anew where something happened, and else after `WATCH_LIMITS.detailMs`. */
  lately(tray: string, kept: Kept): Detail {
    const known = this.#known.get(tray);
    const isRecent =
      known?.life === kept.life.life &&
      kept.nowMs - known.atMs < WATCH_LIMITS.detailMs &&
      !hasHappened(kept.life.entries, known.sequence);
    return isRecent ? known.detail : this.#reckon(tray, kept);
  }

  /** For a message: by every entry there is. */
  now(tray: string, kept: Kept): Detail {
    const known = this.#known.get(tray);
    const isSame = known?.life === kept.life.life && known.sequence === lastSequence(kept);
    return isSame ? known.detail : this.#reckon(tray, kept);
  }

  #reckon(tray: string, kept: Kept): Detail {
    const detail = this.reckon(kept);
    const { nowMs, life } = kept;
    this.#known.set(tray, { life: life.life, sequence: lastSequence(kept), atMs: nowMs, detail });
    return detail;
  }
}
