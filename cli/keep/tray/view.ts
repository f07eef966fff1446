/** A tray as decisions see it, by what is known of it live. Pure. */
import type { AlarmReport, Status } from '../../../shared/link/status';
import type { UnitSystem } from '../../../shared/units';
import { dateEntries } from '../../journal/dating';
import type { StoredLife } from '../../journal/store';
import type { Cursor, Raised, Standing, TrayView, Trouble } from '../decide/model';
import { WATCH_LIMITS } from '../limits';
import { type Detail, type Kept, NO_DETAIL } from './detail';
import type { Live } from './watch';

/** What has been looked through of its journal, and what alarms were raised since. */
export interface News {
  readonly raised: readonly Raised[];
  readonly cursor: Cursor | null;
}

/** The alarms raised behind `cursor`; none of a journal that is seen for the first time: what stands is told anyway. */
export function newsOf(life: StoredLife | null, cursor: Cursor | null, nowMs: number): News {
  const last = life?.entries.at(-1);
  if (life === null || last === undefined) return { raised: [], cursor };
  const now = { life: life.life, sequence: last.sequence };
  if (cursor === null) return { raised: [], cursor: now };
  const after = cursor.life === life.life ? cursor.sequence : 0;
  if (last.sequence <= after) return { raised: [], cursor: now };
  const isNews = life.entries.some(
    (entry) => entry.sequence > after && entry.kind === 'alarm' && entry.change === 'raised',
  );
  if (!isNews) return { raised: [], cursor: now };
  const raised = dateEntries(life.entries, life.life).flatMap(({ entry, unixMs }): Raised[] =>
    entry.sequence > after && entry.kind === 'alarm' && entry.change === 'raised'
      ? [{ alarm: entry.alarm, atMs: unixMs ?? nowMs }]
      : [],
  );
  return { raised, cursor: now };
}

/** Alarms of which root zone and band say how bad they are. */
const COLD: readonly Trouble[] = ['too-cold', 'mat-no-effect', 'band-out-of-reach'];
const WARM: readonly Trouble[] = ['too-warm', 'root-zone-hot', 'mat-stuck-on'];

function offK(trouble: Trouble, { heat }: Status): number {
  const { rootZoneC, lowC, highC } = heat;
  if (rootZoneC === null || lowC === null || highC === null) return 0;
  if (COLD.includes(trouble)) return Math.max(0, lowC - rootZoneC);
  return WARM.includes(trouble) ? Math.max(0, rootZoneC - highC) : 0;
}

export const isStanding = ({ state }: AlarmReport): boolean =>
  state !== 'normal' && state !== 'returned';

/** Seen by a person, or kept quiet by one. */
export const isSeen = ({ state, shelvedS }: AlarmReport): boolean =>
  state === 'accepted' || state === 'latched-accepted' || shelvedS > 0;

/** Alarms that stand by a status that was read at `trayMs`. */
export function standingOf(status: Status, trayMs: number): readonly Standing[] {
  return status.alarms.filter(isStanding).map((report) => ({
    trouble: report.alarm,
    sinceMs: Math.round(trayMs - report.ageS * 1000),
    seen: isSeen(report),
    offK: offK(report.alarm, status),
  }));
}

export interface Viewed {
  readonly view: TrayView;
  readonly detail: Detail;
}

export interface ViewOptions {
  readonly name: string;
  readonly cursor: Cursor | null;
  readonly units: UnitSystem;
  readonly nowMs: number;
  /** When the keeper started, Unix ms: before, nothing could be heard. */
  readonly startedMs: number;
  /** What the journal adds, `detailOf` or what that gave before. */
  readonly detail: (kept: Kept) => Detail;
}

/** A tray seen at `nowMs`. What the journal adds is reckoned only where something is wrong. */
export function viewOf(live: Live, options: ViewOptions): Viewed {
  const { name, cursor, units, nowMs, startedMs } = options;
  const { heardMs, status, trayMs, life, profiles, lost } = live;
  const quietMs = nowMs - (heardMs ?? startedMs);
  const isFresh =
    status !== null && trayMs !== null && lost === null && quietMs <= WATCH_LIMITS.staleMs;
  const standing = isFresh ? standingOf(status, trayMs) : null;
  const news = newsOf(life, cursor, trayMs ?? nowMs);
  const isWrong = news.raised.length > 0 || (standing?.length ?? 0) > 0;
  const detail =
    life !== null && isWrong
      ? options.detail({ life, profiles, status, units, nowMs: trayMs ?? nowMs })
      : NO_DETAIL;
  const isUnheard = !isFresh && quietMs >= WATCH_LIMITS.unheardMs;
  return {
    detail,
    view: {
      ...{ tray: name, standing, ...news, causeOf: detail.causeOf },
      unheardSinceMs: isUnheard ? (heardMs ?? startedMs) : null,
    },
  };
}
