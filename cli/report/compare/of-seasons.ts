/** Two seasons of stored journals, made into a comparison: both from their sowing on. Pure but for the zone of time. */
import type { UnitSystem } from '../../../shared/units';
import { DAY_MS } from '../../../shared/units/time';
import type { Course } from '../course';
import type { Report } from '../model';
import { reportOf } from '../of-journal';
import type { Plot } from '../plot/model';
import { minuteOf } from '../plot/rows-of';
import {
  COMPARED,
  type Compared,
  type Comparison,
  type Difference,
  placeOf,
  type Side,
} from './model';
import { LETTERS } from './pair';
import type { SeasonSpan } from './seasons';

export interface Wanted {
  readonly units: UnitSystem;
  /** Of this place, minutes east of UTC. */
  readonly offsetMin: number;
  readonly nowMs: number;
}

/** The comparison of `a` with `b`; null where one of them has no entry after its sowing. */
export function comparisonOf(
  spans: readonly [SeasonSpan, SeasonSpan],
  names: readonly [string, string],
  wanted: Wanted,
): Comparison | null {
  const [a, b] = spans.map((span, i) => sideOf(span, LETTERS[i] ?? '', names[i] ?? '', wanted));
  if (a == null || b == null) return null;
  const commonDays = Math.min(a.course.days, b.course.days);
  const [shortA, shortB] = spans.map((span) => upTo(span, commonDays, wanted));
  if (shortA == null || shortB == null) return null;
  return {
    sides: [a, b],
    commonDays,
    differences: COMPARED.map((what) =>
      differenceOf(
        what,
        OF_WHOLE[what]?.(a.course) ?? OF_COMMON[what]?.(shortA) ?? null,
        OF_WHOLE[what]?.(b.course) ?? OF_COMMON[what]?.(shortB) ?? null,
      ),
    ),
    units: wanted.units,
  };
}

function sideOf(span: SeasonSpan, letter: string, name: string, wanted: Wanted): Side | null {
  const report = reportFor(span, span.toMs, wanted);
  if (report === null || report.course === null) return null;
  const placed = (marks: Plot['alarms']): Plot['alarms'] =>
    marks.map((mark) => ({ ...mark, id: placeOf(letter, mark.id) }));
  const { plot } = report;
  return {
    name,
    report: {
      ...report,
      plot: { ...plot, incidents: placed(plot.incidents), alarms: placed(plot.alarms) },
    },
    course: report.course,
    sownMin: minuteOf(span.sownMs, span.fromMs),
  };
}

/** The course of its first days alone. */
const upTo = (span: SeasonSpan, days: number, wanted: Wanted): Course | null =>
  reportFor(span, Math.min(span.toMs, span.sownMs + days * DAY_MS), wanted)?.course ?? null;

function reportFor(
  { boardId, life, profiles, fromMs }: SeasonSpan,
  toMs: number,
  { nowMs, ...wanted }: Wanted,
): Report | null {
  const times = { sinceMs: fromMs, untilMs: toMs, nowMs };
  return reportOf([life], profiles, { boardId, ...times, ...wanted, matW: null, tariff: null });
}

type Reckoned = { readonly [What in Compared]?: (course: Course) => number | null };

/** What happens once is told of the whole season, what adds up of the days that both have. */
const OF_WHOLE: Reckoned = {
  emergedDay: ({ emergedDay }) => emergedDay,
  firstFeedDay: ({ firstFeedDay }) => firstFeedDay,
  transplantedDay: ({ transplantedDay }) => transplantedDay,
  days: ({ days }) => days,
};
const OF_COMMON: Reckoned = {
  doses: ({ doses }) => doses,
  waterMl: ({ ml }) => ml,
  waterEachMl: ({ eachMl }) => eachMl,
  saltsEachMg: ({ eachSaltsMg }) => eachSaltsMg,
  outOfBandH: ({ outOfBandH }) => outOfBandH,
  matH: ({ matH }) => matH,
  alarms: ({ alarms }) => alarms,
};

function differenceOf(what: Compared, one: number | null, other: number | null): Difference {
  const [a, b] = [one, other].map((value) => (Number.isFinite(value) ? value : null));
  const known = a != null && b != null;
  return { what, a: a ?? null, b: b ?? null, difference: known ? b - a : null };
}
