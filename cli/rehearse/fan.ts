/** Many rehearsals as fans over the time since sowing: between which values they lie, hour by hour. Pure. */

import type { Course, Rehearsal } from '../../firmware/bench/season/rehearsal';
import { ADVICE } from '../../shared/alarms/advice';
import { quantileOf } from '../../shared/statistics/quantile';
import {
  ML_PER_FL_OZ,
  ML_PER_GAL,
  temperatureIn,
  temperatureUnit,
  type UnitSystem,
} from '../../shared/units';
import { DAY_MIN, HOUR_MIN } from '../../shared/units/time';
import type { Fan, FanLines, FanName, FanPercent, MiddleBand, SpanMark } from '../report/fan/model';
import { alarmId } from '../report/plot/of-stand';
import type { Span } from './summary';
import { cameIn, type Rehearsed, type RehearsedTask, tasksOf } from './tasks';
import { alarmText, dayText } from './words';

const HOURS = 24;
const ML_PER_L = 1_000;
/** A fan of fewer of the rehearsals than this would tell of these few alone. */
const LEAST_SHARE = 0.5;

/** A value at each whole hour from sowing; undefined where a rehearsal was not looked at, or is over. */
type Hourly<T> = readonly (T | undefined)[];

/** What the rehearsals have at an hour; nothing where too few of them know. */
function knownAt(columns: readonly Hourly<number | null>[], hour: number): number[] {
  const values = columns.flatMap((column) => column[hour] ?? []).filter(Number.isFinite);
  return values.length < LEAST_SHARE * columns.length ? [] : values;
}

/** Looks brought to whole hours from sowing. */
function hourly<T>({ days }: Course, column: readonly T[]): Hourly<T> {
  const hours: (T | undefined)[] = [];
  for (const [i, day] of days.entries()) hours[Math.round(day * HOURS)] = column[i];
  return hours;
}

interface Told {
  readonly of: (course: Course) => readonly (number | null)[];
  readonly write: (value: number, units: UnitSystem) => number;
  readonly digits: number;
}

/** Where each quantity comes from, and in which unit it is read. */
const TOLD: Readonly<Record<FanName, Told>> = {
  rootZone: { of: ({ rootZoneC }) => rootZoneC, write: temperatureIn, digits: 2 },
  dryBack: { of: ({ dryBackShare }) => dryBackShare, write: (share) => share * 100, digits: 2 },
  each: {
    of: ({ eachMl }) => eachMl,
    write: (ml, units) => (units === 'us' ? ml / ML_PER_FL_OZ : ml),
    digits: 2,
  },
  reservoir: {
    of: ({ reservoirMl }) => reservoirMl,
    write: (ml, units) => ml / (units === 'us' ? ML_PER_GAL : ML_PER_L),
    digits: 3,
  },
  standing: { of: ({ standingShare }) => standingShare, write: (share) => share * 100, digits: 1 },
};

/** The whole hours that there are, the first one that was looked at first. */
function hoursOf(all: readonly Rehearsal[]): readonly number[] {
  const known = new Set(
    all.flatMap(({ course }) => course.days.map((day) => Math.round(day * HOURS))),
  );
  return [...known].sort((a, b) => a - b);
}

function linesOf({ all, units }: Rehearsed, name: FanName, hours: readonly number[]): FanLines {
  const { of, write, digits } = TOLD[name];
  const columns = all.map(({ course }) => hourly(course, of(course)));
  const rows = hours.map((hour) => {
    return knownAt(columns, hour).sort((a, b) => a - b);
  });
  const line = (percent: FanPercent): readonly (number | null)[] =>
    rows.map((sorted) => {
      const value = write(quantileOf(sorted, percent / 100), units);
      return Number.isFinite(value) ? Number(value.toFixed(digits)) : null;
    });
  return { 5: line(5), 25: line(25), 50: line(50), 75: line(75), 95: line(95) };
}

/** The band that one of the rehearsals has at an hour, as warm as the middle one; null where too few go on. */
function middleBand(
  lows: readonly Hourly<number>[],
  highs: readonly Hourly<number>[],
  hour: number,
): readonly [low: number, high: number] | null {
  const bands = lows.flatMap((column, i) => {
    const [low, high] = [column[hour], highs[i]?.[hour]];
    return low === undefined || high === undefined || !Number.isFinite(low + high)
      ? []
      : [[low, high] as const];
  });
  if (bands.length < LEAST_SHARE * lows.length) return null;
  bands.sort((a, b) => a[0] + a[1] - (b[0] + b[1]));
  return bands[Math.floor((bands.length - 1) / 2)] ?? null;
}

/** Stretches of the same band: the middle one of the rehearsals that go on so long. */
function bandsOf({ all, units }: Rehearsed, hours: readonly number[]): readonly MiddleBand[] {
  const lows = all.map(({ course }) => hourly(course, course.bandLowC));
  const highs = all.map(({ course }) => hourly(course, course.bandHighC));
  const bands: { from: number; to: number; low: number; high: number }[] = [];
  for (const hour of hours) {
    const [low, high] =
      middleBand(lows, highs, hour)?.map((value) =>
        Number(temperatureIn(value, units).toFixed(2)),
      ) ?? [];
    if (low === undefined || high === undefined) continue;
    const [from, to] = [(hour - 1) * HOUR_MIN, hour * HOUR_MIN];
    const open = bands.at(-1);
    if (open?.low === low && open.high === high && open.to === from) open.to = to;
    else bands.push({ from, to, low, high });
  }
  return bands;
}

function spanMark(
  span: Span,
  words: Pick<SpanMark, 'label' | 'says'> & Partial<Pick<SpanMark, 'id'>>,
): SpanMark {
  const minutes = (day: number): number => Math.round(Math.max(0, day) * DAY_MIN);
  const { least, middle, most } = span;
  return {
    ...{ least: minutes(least), middle: minutes(middle), most: minutes(most) },
    ...{ id: null, ...words },
  };
}

/** ` (3 of 12)` where it was not so in all of them. */
const inSome = (count: number, of: number): string => (count === of ? '' : ` (${count} of ${of})`);

/** What is done once, where it came to that. */
function taskMark({ from, until, title, rehearsals }: RehearsedTask, of: number): SpanMark[] {
  if (from === null || until !== null) return [];
  const label = `${title}${inSome(rehearsals, of)}`;
  return [spanMark(from, { label, says: `${label}: ${dayText(from)}` })];
}

/** The first feed, and each stage that begins by itself or by a mark. */
function eventsOf({ all, summary, profile }: Rehearsed): readonly SpanMark[] {
  const told = (span: Span, title: string, count: number): SpanMark => {
    const label = `${title}${inSome(count, all.length)}`;
    return spanMark(span, { label, says: `${label}: ${dayText(span)}` });
  };
  const { firstFeedDay } = summary;
  const fed = all.filter((one) => one.firstFeedDay !== null).length;
  return [
    ...(firstFeedDay === null ? [] : [told(firstFeedDay, 'First feed', fed)]),
    ...summary.stages
      .slice(1)
      .map(({ stage, fromDay }) =>
        told(fromDay, `Stage ${profile.stages[stage]?.name ?? stage + 1}`, cameIn(all, stage)),
      ),
  ];
}

const alarmsOf = ({ summary: { alarms, rehearsals } }: Rehearsed): readonly SpanMark[] =>
  alarms.map((one) => {
    const { title } = ADVICE[one.alarm];
    return spanMark(one.firstDay, {
      // What is heard of a link begins with what is seen of it.
      label:
        one.rehearsals === rehearsals ? title : `${title}, in ${one.rehearsals} of ${rehearsals}`,
      says: `${title}, ${alarmText(one, rehearsals)}`,
      id: alarmId(one.alarm),
    });
  });

/** All that is drawn. */
export function fanOf(rehearsed: Rehearsed): Fan {
  const { all, summary, units } = rehearsed;
  const hours = hoursOf(all);
  const lines = (name: FanName): FanLines => linesOf(rehearsed, name, hours);
  return {
    rehearsals: all.length,
    lengthMin: Math.round(summary.days.most * DAY_MIN),
    temperatureUnit: temperatureUnit(units),
    eachUnit: units === 'us' ? 'fl oz' : 'ml',
    reservoirUnit: units === 'us' ? 'gal' : 'l',
    minutes: hours.map((hour) => hour * HOUR_MIN),
    lines: {
      rootZone: lines('rootZone'),
      dryBack: lines('dryBack'),
      each: lines('each'),
      reservoir: lines('reservoir'),
      standing: lines('standing'),
    },
    bands: bandsOf(rehearsed, hours),
    tasks: tasksOf(rehearsed).flatMap((task) => taskMark(task, all.length)),
    events: eventsOf(rehearsed),
    alarms: alarmsOf(rehearsed),
  };
}
