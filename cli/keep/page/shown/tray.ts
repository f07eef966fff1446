/** A tray as its line on the page: one word, why, and what comes next. Pure but for the zone of time. */
import { ADVICE } from '../../../../shared/alarms/advice';
import { ALARM_PRIORITY } from '../../../../shared/alarms/priority';
import type { AlarmReport, Status } from '../../../../shared/link/status';
import { formatQuantity, type UnitSystem } from '../../../../shared/units';
import { doseFact, dueText, spanText } from '../../../away/due';
import { whenText } from '../../../away/when';
import { dayTime } from '../../../explain/show';
import type { NoPlace } from '../../../forecast/place';
import type { Fact } from '../../../terminal/output';
import { standsText } from '../../../words/alarm';
import { WATCH_LIMITS } from '../../limits';
import type { Live } from '../../tray/watch';
import { byButton } from './by-button';
import type { Ahead, Figures } from './figures';

/** `well`: nothing is wanted. `look`: something is, when there is time. `now`: the plants suffer, or may. */
export const PLAIN_WORDS = ['well', 'look', 'now'] as const;
export type PlainWord = (typeof PLAIN_WORDS)[number];

/** What is known of a tray now. */
export interface TrayNow {
  readonly name: string;
  readonly live: Live;
  /** Unix ms here, and when the keeper started: before, nothing could be heard. */
  readonly nowMs: number;
  readonly startedMs: number;
  readonly units: UnitSystem;
  /** Null: not reckoned yet. */
  readonly figures: Figures | null;
}

export interface TrayLine {
  readonly name: string;
  readonly word: PlainWord;
  /** A line each; the first one says the most. */
  readonly says: readonly string[];
  readonly facts: readonly Fact[];
}

/** Time of day where the tray is: a bench has its own. While a tray is silent its time goes on. */
export function timeThere({ live: { trayMs, heardMs }, nowMs }: TrayNow): number {
  return trayMs === null || heardMs === null ? nowMs : trayMs + (nowMs - heardMs);
}

/** Whether it answered just now: else nobody knows how it stands. */
export function isHeard({ live: { status, lost, heardMs }, nowMs }: TrayNow): boolean {
  return (
    status !== null && lost === null && heardMs !== null && nowMs - heardMs <= WATCH_LIMITS.staleMs
  );
}

/** Alarms that are not over, the most urgent first as the controller lists them. */
export const alarmsOf = ({ live }: TrayNow): readonly AlarmReport[] =>
  (live.status?.alarms ?? []).filter(({ state }) => state !== 'normal');

export function lineOf(now: TrayNow): TrayLine {
  const { name } = now;
  if (!isHeard(now)) return { name, ...silentLine(now), facts: [] };
  const alarms = alarmsOf(now);
  const thereMs = timeThere(now);
  const says = alarms.map(
    (report) => `${ADVICE[report.alarm].title}: ${standsText(report, thereMs)}`,
  );
  return {
    name,
    word: alarms.some(isUrgent) ? 'now' : alarms.length > 0 ? 'look' : 'well',
    says: [...says, ...readingsText(now.live.status, now.units)],
    facts: factsOf(now),
  };
}

/** What has ended by itself can wait until somebody says so; what holds heat or water off until then cannot. */
const isUrgent = ({ alarm, state }: AlarmReport): boolean =>
  ALARM_PRIORITY[alarm] === 'high' && state !== 'returned';

function silentLine(now: TrayNow): Pick<TrayLine, 'word' | 'says'> {
  const { live, nowMs, startedMs } = now;
  const { heardMs, lost } = live;
  const why = lost === null ? [] : [lost.message];
  if (heardMs === null && nowMs - startedMs < WATCH_LIMITS.unheardMs) {
    return { word: 'look', says: ['Not heard yet.', ...why] };
  }
  const sinceMs = heardMs ?? startedMs;
  const isLong = nowMs - sinceMs >= WATCH_LIMITS.unheardMs;
  return {
    word: isLong ? 'now' : 'look',
    says: [
      isLong
        ? `Not heard since ${dayTime(sinceMs, nowMs)}: go and look at its lamp.`
        : `Not heard just now; last ${dayTime(sinceMs, nowMs)}.`,
      ...why,
    ],
  };
}

/** `24.6 °C, band 24.0 °C to 25.0 °C; stage 2, growth`. */
function readingsText(status: Status | null, units: UnitSystem): readonly string[] {
  if (status === null) return [];
  const { heat, stage } = status;
  const show = (celsius: number): string => formatQuantity('temperature', celsius, units);
  const { rootZoneC, lowC, highC } = heat;
  const band = lowC === null || highC === null ? '' : `, band ${show(lowC)} to ${show(highC)}`;
  const at = stage === null ? 'not sown yet' : `stage ${stage.index + 1}, ${stage.name}`;
  return [`${rootZoneC === null ? 'No temperature' : `${show(rootZoneC)}${band}`}; ${at}`];
}

function factsOf(now: TrayNow): readonly Fact[] {
  const { figures, live } = now;
  if (live.status === null) return [];
  if (figures === null) return [{ label: 'Ahead', value: 'being reckoned' }];
  return aheadFacts(figures.ahead, timeThere(now), now.units);
}

const NOTHING: Readonly<Record<NoPlace, string>> = {
  'not-sown': 'nothing yet: it is not sown',
  'no-readings': 'not known yet: a reading comes every five minutes',
  'profile-unknown': 'not known: its profile is not kept here yet',
  'capacity-unknown': 'not known: it has not been marked soaked',
  'weight-unknown': 'not known: there is no weight of it',
};

function aheadFacts(ahead: Ahead, thereMs: number, units: UnitSystem): readonly Fact[] {
  if (!ahead.ok) return [{ label: 'Ahead', value: NOTHING[ahead.why] }];
  const { nextDose, limits } = ahead.away;
  const dose = doseFact(nextDose, { nowUnixMs: thereMs, units });
  const task = limits.find(({ by }) => by === 'hands');
  const when = (due: Parameters<typeof dueText>[0]): string => dueText(due, { nowUnixMs: thereMs });
  return [
    { ...dose, note: byButton(dose.note ?? '') },
    task === undefined
      ? { label: 'Next task', value: 'none' }
      : { label: 'Next task', value: when(task), note: byButton(task.says) },
    { label: 'Can be left', ...leftText(ahead, thereMs) },
  ];
}

/** Until when the tray is held by itself, nine times of ten; what speaks against leaving it at all comes first. */
function leftText({ away }: Ahead & { readonly ok: true }, thereMs: number): Omit<Fact, 'label'> {
  const [obstacle] = away.obstacles;
  if (obstacle !== undefined)
    return { value: 'not now', note: byButton(obstacle.says), tone: 'bad' };
  const end = away.limits.find(({ by }) => by === 'tray');
  if (end === undefined) return { value: `more than ${spanText(away.holdsH)}` };
  if (end.inH === 0) return { value: 'not now', note: end.says, tone: 'bad' };
  const until =
    end.unixMs === null ? `for ${spanText(end.inH)}` : `until ${whenText(end.unixMs, thereMs)}`;
  return { value: until, note: `then ${end.says}` };
}
