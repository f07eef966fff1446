/** Many rehearsals of one profile, told together. Pure. */
import type { Rehearsal } from '../../firmware/bench/season/rehearsal';
import type { AlarmName } from '../../shared/alarms/catalogue';
import type { LidPlace } from '../../shared/profile/profile';
import { heldOf, type Missed, mostMissed } from './band';

/** Least, middle and most of a figure over the rehearsals that have it. */
export interface Span {
  readonly least: number;
  readonly middle: number;
  readonly most: number;
}

export interface StageSummary {
  readonly stage: number;
  readonly lid: LidPlace;
  readonly fromDay: Span;
  readonly forDays: Span;
  /** Of its band and its roots without the half day in which it warms up. */
  readonly inBandShare: Span;
  readonly coldestC: number;
  readonly warmestC: number;
  /** Below its band and above it, in the rehearsal in which that was longest. */
  readonly below: Missed;
  readonly above: Missed;
  readonly mlADay: Span;
}

export interface AlarmSummary {
  readonly alarm: AlarmName;
  /** In so many of the rehearsals, so often in one of them, and from which day on. */
  readonly rehearsals: number;
  readonly times: Span;
  readonly firstDay: Span;
}

export interface Summary {
  readonly rehearsals: number;
  readonly days: Span;
  readonly emergedDay: Span | null;
  readonly firstFeedDay: Span | null;
  readonly transplantDay: Span | null;
  readonly stages: readonly StageSummary[];
  readonly refills: Span;
  readonly firstRefillDay: Span | null;
  readonly doses: Span;
  readonly ml: Span;
  readonly mostDayMl: Span;
  readonly eachMl: Span;
  readonly eachSaltsMg: Span;
  /** The mat at full heat, W: the same in all. */
  readonly matW: number;
  readonly matKwh: Span;
  readonly driestShare: Span;
  readonly deadShare: Span;
  readonly growthShare: Span;
  readonly alarms: readonly AlarmSummary[];
}

/** Null of no values. The middle of an even number of values is the lower one: it happened. */
export function spanOf(values: readonly number[]): Span | null {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted[Math.floor((sorted.length - 1) / 2)];
  const [least] = sorted;
  const most = sorted.at(-1);
  return least === undefined || middle === undefined || most === undefined
    ? null
    : { least, middle, most };
}

/** Over at least one rehearsal; throws of none. */
export function summaryOf(all: readonly Rehearsal[]): Summary {
  const span = (of: (one: Rehearsal) => number): Span => sure(spanOf(all.map(of)));
  const known = (of: (one: Rehearsal) => number | null | undefined): Span | null =>
    spanOf(all.flatMap((one) => of(one) ?? []));
  return {
    rehearsals: all.length,
    days: span(({ days }) => days),
    emergedDay: known(({ emergedDay }) => emergedDay),
    firstFeedDay: known(({ firstFeedDay }) => firstFeedDay),
    transplantDay: known(({ transplantDay }) => transplantDay),
    stages: stagesOf(all),
    refills: span(({ refillDays }) => refillDays.length),
    firstRefillDay: known(({ refillDays }) => refillDays[0]),
    doses: span(({ doses }) => doses.length),
    ml: span(({ ml }) => ml),
    mostDayMl: span(({ mostDayMl }) => mostDayMl),
    eachMl: span(({ eachMl }) => eachMl),
    eachSaltsMg: span(({ eachSaltsMg }) => eachSaltsMg),
    matW: span(({ matW }) => matW).middle,
    matKwh: span(({ matKwh }) => matKwh),
    driestShare: span(({ driestShare }) => driestShare),
    deadShare: span(({ deadShare }) => deadShare),
    growthShare: span(({ growthShare }) => growthShare),
    alarms: alarmsOf(all),
  };
}

function sure(span: Span | null): Span {
  if (span === null) throw new Error('a summary of nothing');
  return span;
}

function stagesOf(all: readonly Rehearsal[]): readonly StageSummary[] {
  const indices = [...new Set(all.flatMap(({ stages }) => stages.map(({ stage }) => stage)))];
  return indices
    .sort((a, b) => a - b)
    .map((index) => {
      const runs = all.flatMap((rehearsal) =>
        rehearsal.stages
          .filter(({ stage }) => stage === index)
          .map((run) => ({ ...run, ...heldOf(rehearsal, run) })),
      );
      const [first] = runs;
      if (first === undefined) throw new Error('a stage that nobody came to');
      const span = (of: (run: (typeof runs)[number]) => number): Span => sure(spanOf(runs.map(of)));
      return {
        stage: index,
        lid: first.lid,
        fromDay: span(({ fromDay }) => fromDay),
        forDays: span(({ forDays }) => forDays),
        inBandShare: span(({ inBandShare }) => inBandShare),
        coldestC: Math.min(...runs.map(({ coldestC }) => coldestC)),
        warmestC: Math.max(...runs.map(({ warmestC }) => warmestC)),
        below: mostMissed(runs.map(({ below }) => below)),
        above: mostMissed(runs.map(({ above }) => above)),
        mlADay: span(({ ml, forDays }) => ml / forDays),
      };
    });
}

function alarmsOf(all: readonly Rehearsal[]): readonly AlarmSummary[] {
  const names = [...new Set(all.flatMap(({ alarms }) => alarms.map(({ alarm }) => alarm)))];
  return names
    .map((alarm) => {
      const days = all
        .map(({ alarms }) => alarms.filter((one) => one.alarm === alarm).map(({ day }) => day))
        .filter(({ length }) => length > 0);
      return {
        alarm,
        rehearsals: days.length,
        times: sure(spanOf(days.map(({ length }) => length))),
        firstDay: sure(spanOf(days.map((one) => Math.min(...one)))),
      };
    })
    .sort((a, b) => b.rehearsals - a.rehearsals || a.firstDay.middle - b.firstDay.middle);
}
