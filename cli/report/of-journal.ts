/** A stored journal and a time, made into a report. Pure but for the zone of time that its caller names. */
import { ADVICE } from '../../shared/alarms/advice';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { ALARM_PRIORITY, rankOf } from '../../shared/alarms/priority';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { type Account, accountOf } from '../explain/account';
import { type Record, recordOf } from '../explain/record';
import { type Stand, standOf } from '../explain/stand';
import { headline } from '../explain/text';
import { dateEntries, within } from '../journal/dating';
import type { KnownProfiles } from '../journal/profiles';
import type { StoredLife } from '../journal/store';
import { answersOf } from './answers';
import { courseOf, sownBy } from './course';
import type { AlarmStory, Report } from './model';
import { timeText } from './plot/axes';
import type { Plot } from './plot/model';
import { plotOf } from './plot/of-stand';
import { minuteOf } from './plot/rows-of';
import { tablesOf } from './tables';

export interface Wanted {
  readonly boardId: string;
  /** Null: since this crop was sown, or all there is. */
  readonly sinceMs: number | null;
  readonly untilMs: number | null;
  readonly nowMs: number;
  readonly units: UnitSystem;
  /** Of this place, minutes east of UTC. */
  readonly offsetMin: number;
  readonly matW: number | null;
  readonly tariff: number | null;
}

/** Soaking and draining belong to the crop as well, ms. */
export const BEFORE_SOWN_MS = 6 * HOUR_MS;

/** The report; null when there is nothing in the time asked for. */
export function reportOf(
  lives: readonly StoredLife[],
  profiles: KnownProfiles,
  wanted: Wanted,
): Report | null {
  const life = lives.filter(({ entries }) => entries.length > 0).at(-1);
  if (life === undefined) return null;
  const dated = dateEntries(life.entries, life.life);
  // As it stood then: what came later explains nothing, and ends no alarm.
  const told = dated.filter((one) => within(one, null, wanted.untilMs));
  const record = recordOf(told, profiles);
  const { fromMs, toMs } = periodOf(record, wanted);
  if (!record.notes.some(({ atMs }) => atMs >= fromMs && atMs <= toMs) || !(fromMs < toMs))
    return null;
  const stand = standOf(record);
  const { units, nowMs, offsetMin } = wanted;
  // Seen from so much later that every time is told with its date: a page is read on another day.
  const readMs = toMs + 3 * DAY_MS;
  const period = { sinceMs: fromMs, untilMs: toMs, nowMs: readMs, units };
  const account = accountOf(lives, profiles, period);
  const plot = plotOf(stand, account.incidents, { fromMs, toMs, units, offsetMin, headline });
  const time = (atMs: number): string => timeText(plot, minuteOf(atMs, fromMs));
  const profile = record.profileAt(toMs);
  const isDated = plot.fromUnixMs !== null;
  return {
    title: profile?.title ?? `Tray of controller ${wanted.boardId}`,
    crop: profile?.crop ?? null,
    boardId: wanted.boardId,
    units,
    period: `${time(fromMs)} to ${time(toMs)}${yearText(plot, toMs)}, ${formatQuantity('duration', (toMs - fromMs) / 1000, units)}`,
    made: madeText(plot, record, wanted, isDated),
    answers: answersOf(stand, account, {
      ...{ fromMs, toMs, units },
      nowMs: isDated ? nowMs : toMs,
      goesOn: told.length < dated.length,
    }),
    plot,
    course: courseOf(stand, toMs),
    incidents: account.incidents,
    alarms: alarmsOf(stand, fromMs, toMs, time),
    tables: tablesOf(stand, {
      ...{ fromMs, toMs, units, time, matW: wanted.matW, tariff: wanted.tariff },
      days: daysOf(plot, fromMs, toMs),
    }),
    unknown: unknownOf(account, lives),
  };
}

function periodOf(record: Record, { sinceMs, untilMs }: Wanted): { fromMs: number; toMs: number } {
  const sownMs = sownBy(record, untilMs ?? record.toMs);
  const usualMs = sownMs === null ? record.fromMs : sownMs - BEFORE_SOWN_MS;
  return {
    fromMs: Math.max(record.fromMs, sinceMs ?? usualMs),
    toMs: Math.min(record.toMs, untilMs ?? record.toMs),
  };
}

function madeText(
  plot: Plot,
  record: Record,
  { nowMs, boardId, offsetMin }: Wanted,
  isDated: boolean,
): string {
  const of = `From the journal of controller ${boardId}`;
  if (!isDated) return `${of}, whose clock was never set: days count from its first entry.`;
  const made = timeText(plot, (nowMs - (plot.fromUnixMs ?? nowMs)) / MINUTE_MS);
  const end = timeText(plot, (record.toMs - (plot.fromUnixMs ?? 0)) / MINUTE_MS);
  return `${of}, which ends ${end}; made ${made}. Times are those of ${zoneText(offsetMin)}.`;
}

/** The year of the end: no other time on the page has one. */
const yearText = ({ fromUnixMs, offsetMin }: Plot, atMs: number): string =>
  fromUnixMs === null ? '' : ` (${new Date(atMs + offsetMin * MINUTE_MS).getUTCFullYear()})`;

function zoneText(offsetMin: number): string {
  const size = Math.abs(offsetMin);
  const minutes = size % 60 === 0 ? '' : `:${String(size % 60).padStart(2, '0')}`;
  return size === 0 ? 'UTC' : `UTC${offsetMin < 0 ? '-' : '+'}${Math.floor(size / 60)}${minutes}`;
}

/** Those that stood in this time, the most urgent first. */
function alarmsOf(
  { spans }: Stand,
  fromMs: number,
  toMs: number,
  time: (atMs: number) => string,
): readonly AlarmStory[] {
  const here = spans.filter((span) => span.toMs >= fromMs && span.fromMs <= toMs);
  return ALARM_NAMES.filter((alarm) => here.some((span) => span.alarm === alarm))
    .map((alarm) => {
      const times = here.filter((span) => span.alarm === alarm);
      return {
        alarm,
        standing: times.some(({ standing }) => standing),
        times: times.map(({ fromMs: sinceMs, toMs: endMs, standing }) => {
          if (standing) return `since ${time(sinceMs)}, still`;
          return endMs - sinceMs < MINUTE_MS ? time(sinceMs) : `${time(sinceMs)} to ${time(endMs)}`;
        }),
      };
    })
    .sort(
      (a, b) =>
        rankOf(ALARM_PRIORITY[a.alarm]) - rankOf(ALARM_PRIORITY[b.alarm]) ||
        ADVICE[a.alarm].title.localeCompare(ADVICE[b.alarm].title),
    );
}

/** Days of the tray's calendar, the first and last cut off where the report is. */
function daysOf(plot: Plot, fromMs: number, toMs: number) {
  const shiftMs = plot.fromUnixMs === null ? -fromMs : plot.offsetMin * MINUTE_MS;
  const first = Math.floor((fromMs + shiftMs) / DAY_MS) * DAY_MS - shiftMs;
  const days: { fromMs: number; toMs: number; name: string }[] = [];
  for (let dayMs = first; dayMs < toMs; dayMs += DAY_MS) {
    const name = timeText(plot, minuteOf(dayMs + DAY_MS / 2, fromMs)).replace(/ \d\d:\d\d$/, '');
    days.push({ fromMs: Math.max(dayMs, fromMs), toMs: Math.min(dayMs + DAY_MS, toMs), name });
  }
  return days;
}

function unknownOf({ unknown, notices }: Account, lives: readonly StoredLife[]): readonly string[] {
  const others = lives.filter(({ entries }) => entries.length > 0).length - 1;
  return [
    ...unknown,
    ...(notices.length > 0 ? [`The controller also asked for: ${notices.join('; ')}.`] : []),
    ...(others > 0
      ? ['The journal began anew on the board; plots and tables are of its newest life.']
      : []),
  ];
}
