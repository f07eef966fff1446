/** The plot of a stretch of a journal. Pure. */
import { ADVICE } from '../../../shared/alarms/advice';
import { ALARM_PRIORITY } from '../../../shared/alarms/priority';
import { NO_STAGE } from '../../../shared/journal/kinds';
import {
  formatQuantity,
  temperatureIn,
  temperatureUnit,
  type UnitSystem,
} from '../../../shared/units';
import { MINUTE_MS } from '../../../shared/units/time';
import type { ToldIncident } from '../../explain/account';
import { DOSED_BY_HAND } from '../../explain/doses';
import { between, notesOf, type Reading } from '../../explain/record';
import type { Stand } from '../../explain/stand';
import { capitalised } from '../../words/capitalised';
import { lidText } from '../../words/lid';
import type { BandStretch, EventMark, Labelled, LevelStretch, Plot } from './model';
import { minuteOf, rowsOf } from './rows-of';
import { thinRows } from './thin';

export interface Frame {
  readonly fromMs: number;
  readonly toMs: number;
  readonly units: UnitSystem;
  /** Minutes east of UTC. */
  readonly offsetMin: number;
  /** What an incident is called. */
  readonly headline: (incident: ToldIncident) => string;
}

/** Rows that a page carries: a month of readings five minutes apart, whole. */
export const ROWS_MOST = 9_000;
/** Shorter than this, an outage cannot be seen on any plot. */
const BLANK_LEAST_MS = 10 * MINUTE_MS;

/** Places in the page that marks lead to. */
export const alarmId = (alarm: string): string => `alarm-${alarm}`;
export const incidentId = (number: number): string => `incident-${number}`;

export function plotOf(stand: Stand, incidents: readonly ToldIncident[], frame: Frame): Plot {
  const { fromMs, toMs, units, offsetMin } = frame;
  const { record } = stand;
  const readings = between(record.readings, fromMs, toMs);
  const isDated = record.notes.some(({ unixMs }) => unixMs !== null);
  return {
    fromUnixMs: isDated ? fromMs : null,
    offsetMin,
    lengthMin: Math.max(1, minuteOf(toMs, fromMs)),
    temperatureUnit: temperatureUnit(units),
    massUnit: units === 'us' ? 'lb' : 'g',
    rows: thinRows(rowsOf(stand, fromMs, toMs, units), ROWS_MOST),
    bands: bandsOf(readings, frame),
    levels: levelsOf(readings, frame),
    stages: runsOf(readings, frame, stageLabel),
    lids: runsOf(readings, frame, lidLabel),
    marks: inside(notesOf(record, 'mark'), frame).map(({ atMs, entry }) => ({
      at: minuteOf(atMs, fromMs),
      label: entry.mark,
    })),
    doses: dosesOf(stand, frame),
    incidents: incidentsOf(stand, incidents, frame),
    alarms: alarmsOf(stand, frame),
    blanks: blanksOf(stand, frame),
  };
}

const inside = <T extends { readonly atMs: number }>(list: readonly T[], { fromMs, toMs }: Frame) =>
  between(list, fromMs, toMs);

function stageLabel({ stage, stageIndex }: Reading): string | null {
  if (stageIndex === NO_STAGE) return null;
  return stage === null ? `stage ${stageIndex + 1}` : `${stageIndex + 1} ${stage.name}`;
}

function lidLabel({ lid }: Reading): string | null {
  if (lid === null) return null;
  return `${lidText(lid.place)}${lid.marked ? ', marked' : ''}`;
}

/** Runs of readings with the same key; null keys make none. Each lasts until the next one begins. */
function stretches<Value>(
  readings: readonly Reading[],
  { fromMs, toMs }: Frame,
  keyed: (reading: Reading) => { readonly key: string; readonly value: Value } | null,
): readonly { readonly from: number; readonly to: number; readonly value: Value }[] {
  const runs: { from: number; to: number; key: string; value: Value }[] = [];
  let open = false;
  for (const reading of readings) {
    const at = minuteOf(reading.atMs, fromMs);
    const one = keyed(reading);
    const last = runs.at(-1);
    if (last !== undefined && open) last.to = at;
    open = one !== null;
    if (one === null || (last !== undefined && last.key === one.key && last.to === at)) continue;
    runs.push({ from: at, to: at, ...one });
  }
  const last = runs.at(-1);
  const end = readings.at(-1);
  if (last !== undefined && open && end !== undefined)
    last.to = minuteOf(Math.min(toMs, end.atMs), fromMs);
  return runs.map(({ from, to, value }) => ({ from, to, value }));
}

function runsOf(
  readings: readonly Reading[],
  frame: Frame,
  label: (reading: Reading) => string | null,
): readonly Labelled[] {
  return stretches(readings, frame, (reading) => {
    const text = label(reading);
    return text === null ? null : { key: text, value: text };
  }).map(({ from, to, value }) => ({ from, to, label: value }));
}

function bandsOf(readings: readonly Reading[], frame: Frame): readonly BandStretch[] {
  const found = stretches(readings, frame, ({ band, stage }) => {
    if (band === null) return null;
    const night = band !== stage?.band;
    return { key: `${band.lowC} ${band.highC} ${night}`, value: { band, night } };
  });
  return found.map(({ from, to, value: { band, night } }) => ({
    from,
    to,
    low: temperatureIn(band.lowC, frame.units),
    high: temperatureIn(band.highC, frame.units),
    night,
  }));
}

const LEVELS = ['start', 'stop', 'rescue'] as const;

function levelsOf(readings: readonly Reading[], frame: Frame): readonly LevelStretch[] {
  return LEVELS.flatMap((what) =>
    stretches(readings, frame, ({ stage }) => {
      const share = shareOf(stage, what);
      return share === null ? null : { key: `${share}`, value: share };
    }).map(({ from, to, value }) => ({ from, to, level: value * 100, what })),
  );
}

function shareOf(stage: Reading['stage'], what: LevelStretch['what']): number | null {
  if (stage === null) return null;
  if (what === 'rescue') return stage.rescue.share;
  const { watering } = stage;
  if (watering === null) return null;
  return what === 'start' ? watering.startShare : watering.stopShare;
}

function dosesOf({ record }: Stand, frame: Frame): Plot['doses'] {
  const { units, fromMs } = frame;
  return inside(notesOf(record, 'dose'), frame)
    .filter(({ entry }) => !DOSED_BY_HAND.includes(entry.reason))
    .map(({ atMs, entry }) => {
      const { verdict, plannedMl, reason, gainedG } = entry;
      const gained = Number.isFinite(gainedG)
        ? `, tray gained ${formatQuantity('mass', gainedG, units)}`
        : '';
      return {
        at: minuteOf(atMs, fromMs),
        came: verdict !== 'not-seen',
        label: `Dose of ${formatQuantity('volume', plannedMl, units)} (${reason}): ${verdict.replaceAll('-', ' ')}${gained}`,
      };
    });
}

/** Only those of the life that is drawn, and that a clock dates. */
function incidentsOf(
  { record }: Stand,
  incidents: readonly ToldIncident[],
  { fromMs, toMs, headline }: Frame,
): readonly EventMark[] {
  const life = record.notes[0]?.dated.life;
  return incidents.flatMap((incident, i) => {
    const { fromUnixMs, toUnixMs } = incident;
    if (incident.life !== life || fromUnixMs === null || toUnixMs === null) return [];
    if (toUnixMs < fromMs || fromUnixMs > toMs) return [];
    return [
      {
        from: minuteOf(Math.max(fromMs, fromUnixMs), fromMs),
        to: minuteOf(Math.min(toMs, toUnixMs), fromMs),
        label: `${headline(incident)}, ${incident.when}`,
        id: incidentId(i + 1),
        grave: incident.open,
        number: i + 1,
      },
    ];
  });
}

function alarmsOf({ spans }: Stand, { fromMs, toMs }: Frame): readonly EventMark[] {
  return spans
    .filter((span) => span.toMs >= fromMs && span.fromMs <= toMs)
    .map(({ alarm, fromMs: spanMs, toMs: endMs }) => ({
      from: minuteOf(Math.max(fromMs, spanMs), fromMs),
      to: minuteOf(Math.min(toMs, endMs), fromMs),
      label: `Alarm: ${ADVICE[alarm].title}`,
      id: alarmId(alarm),
      grave: ALARM_PRIORITY[alarm] === 'high',
      number: null,
    }));
}

/** Power cuts, lost entries, and the tray somewhere else. */
function blanksOf({ record, aways }: Stand, { fromMs, toMs }: Frame): readonly Labelled[] {
  const offs = record.boots.flatMap(({ offMs, fromMs: bootMs }) =>
    offMs === null ? [] : [{ fromMs: bootMs - offMs, toMs: bootMs, label: 'power off' }],
  );
  const lost = record.gaps.map((gap) => ({ ...gap, label: 'entries lost' }));
  const away = aways.map((one) => ({ fromMs: one.fromMs, toMs: one.toMs, label: 'tray away' }));
  return [...offs, ...lost, ...away]
    .filter((one) => one.toMs >= fromMs && one.fromMs <= toMs)
    .filter((one) => one.toMs - one.fromMs >= BLANK_LEAST_MS)
    .map((one) => ({
      from: minuteOf(Math.max(fromMs, one.fromMs), fromMs),
      to: minuteOf(Math.min(toMs, one.toMs), fromMs),
      label: capitalised(one.label),
    }));
}
