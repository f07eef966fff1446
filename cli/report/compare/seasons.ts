/** The seasons of a journal: each from a sowing to the next one, or to the end of its life. Pure. */
import { notesOf, recordOf } from '../../explain/record';
import { dateEntries } from '../../journal/dating';
import type { KnownProfiles } from '../../journal/profiles';
import type { StoredLife } from '../../journal/store';
import { BEFORE_SOWN_MS } from '../of-journal';

export interface SeasonSpan {
  readonly boardId: string;
  readonly life: StoredLife;
  readonly profiles: KnownProfiles;
  /** On the life's own line of time. */
  readonly fromMs: number;
  readonly sownMs: number;
  readonly toMs: number;
  /** When it was sown, Unix ms; null while no clock was set. */
  readonly sownUnixMs: number | null;
}

/** Every one of a controller, the oldest first. */
export function seasonsOf(
  boardId: string,
  lives: readonly StoredLife[],
  profiles: KnownProfiles,
): readonly SeasonSpan[] {
  return lives.flatMap((life) => {
    const record = recordOf(dateEntries(life.entries, life.life), profiles);
    const sown = notesOf(record, 'mark')
      .filter(({ entry }) => entry.mark === 'sown')
      // One that is soon said again was a slip.
      .filter(({ atMs }, i, all) => !((all[i + 1]?.atMs ?? Number.NaN) - atMs < BEFORE_SOWN_MS));
    return sown.map(({ atMs, unixMs }, i): SeasonSpan => {
      const [before, next] = [sown[i - 1], sown[i + 1]];
      // Soaking belongs to what is sown then.
      const fromMs = Math.max(record.fromMs, before?.atMs ?? 0, atMs - BEFORE_SOWN_MS);
      const toMs = next === undefined ? record.toMs : next.atMs - BEFORE_SOWN_MS;
      return { boardId, life, profiles, fromMs, sownMs: atMs, toMs, sownUnixMs: unixMs };
    });
  });
}
