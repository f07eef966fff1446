/** What `/metrics` tells of a keeper, and the text of it: Prometheus' own format, or OpenMetrics 1.0. Pure. */
import {
  Gauge,
  type OpenMetricsContentType,
  type PrometheusContentType,
  Registry,
} from 'prom-client';
import { ALARM_PRIORITY } from '../../../../shared/alarms/priority';
import type { DoorState } from '../../postman';
import { standingAlarms } from '../alarms';
import type { Look } from '../look';
import { MEASURES, type Measure, type Reading } from '../measures';
import type { Sparkplug } from '../sparkplug/sparkplug';

export interface Figures {
  readonly looks: readonly Look[];
  readonly startedMs: number;
  /** Messages that wait to be sent. */
  readonly waiting: number;
  readonly doors: readonly DoorState[];
  readonly sparkplug: Sparkplug['state'] | null;
}

type Format = PrometheusContentType | OpenMetricsContentType;

/** In the format that whoever asks can read, by its `Accept`. */
export function formatFor(accept: string): Format {
  return accept.includes('application/openmetrics-text')
    ? Registry.OPENMETRICS_CONTENT_TYPE
    : Registry.PROMETHEUS_CONTENT_TYPE;
}

const inSeconds = (ms: number): number => ms / 1000;

export async function textOf(figures: Figures, format: Format): Promise<string> {
  const registry = new Registry<Format>();
  registry.setContentType(format);
  const gauge = <Label extends string>(
    name: string,
    help: string,
    ...labelNames: Label[]
  ): Gauge<Label> =>
    new Gauge({ name: `trayward_${name}`, help, labelNames, registers: [registry] });
  tellTrays(figures.looks, gauge);
  tellKeeper(figures, gauge);
  return registry.metrics();
}

type NewGauge = <Label extends string>(
  name: string,
  help: string,
  ...labelNames: Label[]
) => Gauge<Label>;

function tellTrays(looks: readonly Look[], gauge: NewGauge): void {
  const heard = gauge('tray_heard', 'Whether the tray is heard: 1 or 0.', 'tray');
  const heardAt = gauge(
    'tray_last_heard_timestamp_seconds',
    'When the tray last answered, Unix time.',
    'tray',
  );
  for (const { tray, reading, heardMs } of looks) {
    heard.set({ tray }, reading === null ? 0 : 1);
    if (heardMs !== null) heardAt.set({ tray }, inSeconds(heardMs));
  }
  for (const measure of MEASURES) tellMeasure(measure, looks, gauge);
  const info = gauge(
    'tray_info',
    'Controller, crop and stage of the tray; always 1.',
    ...(['tray', 'controller', 'crop', 'stage'] as const),
  );
  const alarms = gauge('tray_alarms', 'How many alarms stand.', 'tray', 'priority');
  const alarm = gauge(
    'tray_alarm_standing',
    'An alarm that stands; always 1.',
    ...(['tray', 'alarm', 'priority', 'seen'] as const),
  );
  for (const { tray, controller, reading } of looks) {
    if (reading === null) continue;
    const { profile, stage } = reading.status;
    const crop = profile?.crop ?? '';
    info.set({ tray, controller: controller ?? '', crop, stage: stage?.name ?? '' }, 1);
    const standing = standingAlarms(reading.status);
    for (const priority of new Set(Object.values(ALARM_PRIORITY))) {
      const count = standing.filter((one) => one.priority === priority).length;
      alarms.set({ tray, priority }, count);
    }
    for (const one of standing) alarm.set({ tray, ...one, seen: one.seen ? 'yes' : 'no' }, 1);
  }
}

/** A measure of each tray of which it is known. */
function tellMeasure(measure: Measure, looks: readonly Look[], gauge: NewGauge): void {
  const { metric, says } = measure;
  if (metric === null) return;
  const found = gauge(`tray_${metric}${suffixOf(measure)}`, says, 'tray');
  for (const { tray, reading } of looks) {
    const value = reading === null ? null : baseValue(measure, reading);
    if (value !== null) found.set({ tray }, value);
  }
}

function suffixOf({ kind, unit }: Measure): string {
  if (kind === 'time') return '_timestamp_seconds';
  return unit === null ? '' : `_${unit.base}`;
}

/** In its base unit; null where it is not known. */
function baseValue({ kind, unit, read }: Measure, reading: Reading): number | null {
  const value = read(reading);
  if (typeof value === 'boolean') return value ? 1 : 0;
  if (typeof value !== 'number') return null;
  if (kind === 'time') return inSeconds(value);
  // Twelve digits: what a product of two decimal numbers adds behind them is nothing that was measured.
  return Number((value * (unit?.inBase ?? 1)).toPrecision(12));
}

function tellKeeper({ startedMs, waiting, doors, sparkplug }: Figures, gauge: NewGauge): void {
  const started = gauge('keeper_start_time_seconds', 'When the keeper started, Unix time.');
  started.set(inSeconds(startedMs));
  gauge('keeper_waiting_messages', 'Messages that wait to be sent.').set(waiting);
  const failing = gauge(
    'keeper_door_failing',
    'Whether nothing goes out by a door: 1 or 0.',
    'door',
  );
  for (const { door, failingSinceMs } of doors) {
    failing.set({ door }, failingSinceMs === null ? 0 : 1);
  }
  if (sparkplug === null) return;
  const { state, kept, dropped } = sparkplug;
  gauge('keeper_sparkplug_up', 'Whether the births of the edge node stand: 1 or 0.').set(
    state === 'up' ? 1 : 0,
  );
  gauge('keeper_sparkplug_kept_values', 'Values kept until a broker takes them.').set(kept);
  gauge('keeper_sparkplug_dropped_values', 'Values given up because too many were kept.').set(
    dropped,
  );
}
