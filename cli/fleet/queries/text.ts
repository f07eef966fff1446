/** What a fleet is told as, for people. Pure. */
import { ADVICE } from '../../../shared/alarms/advice';
import { formatQuantity, type UnitSystem } from '../../../shared/units';
import { dayTime } from '../../explain/show';
import { type Style, table, wrap } from '../../terminal/output';
import type { FleetAlarms } from './alarms';
import type { FleetStatus } from './status';

const counted = (count: number, one: string, more: string): string =>
  `${count} ${count === 1 ? one : more}`;

export function statusText(status: FleetStatus, style: Style, units: UnitSystem): string {
  const { trays, silent, withAlarms, gaps, worst, nowUnixMs } = status;
  const says = (text: string): string => wrap(text, style.width);
  const sums = says(
    `${counted(trays, 'tray', 'trays')}: ${withAlarms} with an alarm that stands, ${silent} silent for a quarter of an hour.`,
  );
  const missing =
    gaps.entries === 0
      ? 'Nothing is missing of what keepers have sent.'
      : `${counted(gaps.entries, 'entry is', 'entries are')} missing of ${counted(gaps.trays, 'tray', 'trays')}, since ${dayTime(gaps.sinceUnixMs ?? nowUnixMs, nowUnixMs)}: a running collector asks the keepers for them.`;
  if (worst.length === 0) return [sums, says(missing)].join('\n');
  const columns = [
    ...[{ title: 'tray' }, { title: 'keeper' }, { title: 'controller' }, { title: 'last reading' }],
    ...(['root zone', 'tray', 'alarms', 'missing'] as const).map((title) => ({
      title,
      align: 'right' as const,
    })),
  ];
  const rows = worst.map((one) => [
    ...[one.tray, one.keeper, one.boardId],
    one.heardUnixMs === null ? 'never' : dayTime(one.heardUnixMs, nowUnixMs),
    formatQuantity('temperature', one.rootZoneC ?? Number.NaN, units),
    formatQuantity('mass', one.trayG ?? Number.NaN, units),
    ...[String(one.standing), String(one.missing)],
  ]);
  return [sums, says(missing), table(columns, rows, style)].join('\n');
}

export function alarmsText({ alarms, more, nowUnixMs }: FleetAlarms, style: Style): string {
  if (alarms.length === 0) return 'No alarm stands.';
  const columns = [
    ...[{ title: 'tray' }, { title: 'keeper' }, { title: 'alarm' }, { title: 'since' }],
    ...[{ title: 'urgency' }, { title: 'seen' }],
  ];
  const rows = alarms.map(({ tray, keeper, alarm, sinceUnixMs, priority, change }) => [
    ...[tray, keeper, ADVICE[alarm].title],
    sinceUnixMs === null ? 'unknown' : dayTime(sinceUnixMs, nowUnixMs),
    ...[priority, change === 'raised' ? 'no' : 'yes'],
  ]);
  const rest = more === 0 ? [] : [`And ${more} more: --most shows them.`];
  return [table(columns, rows, style), ...rest].join('\n');
}
