/** Times and quantities of a story as its reader sees them. Pure but for this place's zone of time. */
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { DAY_MS, MINUTE_MS } from '../../shared/units/time';
import { localTime } from '../terminal/local-time';
import type { Show } from './finding';
import type { Record } from './record';
import type { Boot } from './time-line';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** `06:01` today, `yesterday 23:56`, else `28 Feb 23:56`, with the year where that is another one. */
export function dayTime(unixMs: number, nowMs: number): string {
  const [date = '', time = ''] = localTime(unixMs).split(' ');
  const clock = time.slice(0, 5);
  const today = localTime(nowMs).slice(0, 10);
  if (date === today) return clock;
  if (date === localTime(nowMs - DAY_MS).slice(0, 10)) return `yesterday ${clock}`;
  const [year, month, day] = date.split('-');
  const named = `${Number(day)} ${MONTHS[Number(month) - 1] ?? ''}`;
  return year === today.slice(0, 4) ? `${named} ${clock}` : `${named} ${year} ${clock}`;
}

/** The boot that a time belongs to; where one begins without a clock as another ends, the time is that of the end. */
function bootAt(boots: readonly Boot[], atMs: number): Boot | undefined {
  return boots.filter(({ fromMs }) => fromMs < atMs).at(-1) ?? boots[0];
}

/** Unix time of a place on the line of time, ms; null where no clock tells it. */
export function unixOf({ boots }: Pick<Record, 'boots'>, atMs: number): number | null {
  const boot = bootAt(boots, atMs);
  const known = boot?.notes.find(({ unixMs }) => unixMs !== null);
  if (known === undefined || known.unixMs === null) return null;
  return atMs + (known.unixMs - known.atMs);
}

/** Shows in `units`, seen from `nowMs` (Unix ms). */
export function showIn(record: Pick<Record, 'boots'>, units: UnitSystem, nowMs: number): Show {
  const time = (atMs: number): string => timeText(record, atMs, units, nowMs);
  const range = (fromMs: number, toMs: number): string => rangeText(time(fromMs), time(toMs));
  return {
    units,
    value: (kind, value) => formatQuantity(kind, value, units),
    span: (ms) => formatQuantity('duration', Math.round(ms / MINUTE_MS) * 60, units),
    time,
    range,
    when: (fromMs, toMs, open) => (open ? `since ${time(fromMs)} and still` : range(fromMs, toMs)),
  };
}

function timeText(
  record: Pick<Record, 'boots'>,
  atMs: number,
  units: UnitSystem,
  nowMs: number,
): string {
  const unixMs = unixOf(record, atMs);
  if (unixMs !== null) return dayTime(unixMs, nowMs);
  const boot = bootAt(record.boots, atMs);
  const s = Math.max(0, atMs - (boot?.fromMs ?? atMs)) / 1000;
  return `${formatQuantity('duration', s, units)} after start ${boot?.number ?? '?'}`;
}

/** Date and clock of a time as `dayTime` writes it. */
const DATED = /^(.+) (\d\d:\d\d)$/;

/** `2 Mar 18:50 to 22:50`. */
export function rangeText(from: string, to: string): string {
  const [, date] = DATED.exec(from) ?? [];
  const [, again, clock] = DATED.exec(to) ?? [];
  return `${from} to ${date !== undefined && date === again && clock !== undefined ? clock : to}`;
}
