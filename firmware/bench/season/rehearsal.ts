/** A season told by what a grower asks beforehand: when what comes, what the tray takes, what goes wrong. Pure. */
import type { AlarmName } from '../../../shared/alarms/catalogue';
import type { LidPlace } from '../../../shared/profile/profile';
import { DAY_MS, HOUR_MS } from '../../../shared/units/time';
import { isNeed } from '../../control/need';
import { RECORD_LIMITS } from '../../limits';
import { MAT } from '../plant/thermal';
import type { Season } from './season';
import { beyondBandK } from './truth';
import type { Look } from './watcher';

const READING_H = RECORD_LIMITS.readingMs / HOUR_MS;
/** What is filled in by then was filled for the sowing. */
const FIRST_FILL_DAYS = 0.1;

/** One stage as it went. Days are since sowing. */
export interface StageRun {
  readonly stage: number;
  readonly fromDay: number;
  readonly forDays: number;
  readonly lid: LidPlace;
  /** Share of the time in its band, and how far the root zone went, C. */
  readonly inBandShare: number;
  readonly coldestC: number;
  readonly warmestC: number;
  readonly ml: number;
  readonly doses: number;
}

/** What was really so at each look, as columns of the same length. Days are since sowing. */
export interface Course {
  readonly days: readonly number[];
  readonly rootZoneC: readonly number[];
  /** The band in force. */
  readonly bandLowC: readonly number[];
  readonly bandHighC: readonly number[];
  /** Null while the tray is not on the scale. */
  readonly dryBackShare: readonly (number | null)[];
  /** Given to each plant since emergence. */
  readonly eachMl: readonly number[];
  readonly reservoirMl: readonly number[];
  /** Plants that stand, of the seed that was sown; null once some of them were moved into blocks. */
  readonly standingShare: readonly (number | null)[];
}

/** One dose of the pump to the plants. Days are since sowing. */
export interface GivenDose {
  readonly day: number;
  readonly stage: number;
  readonly ml: number;
}

/** One season. Days are since sowing; null where it did not come to that. */
export interface Rehearsal {
  readonly days: number;
  readonly emergedDay: number | null;
  readonly firstFeedDay: number | null;
  readonly transplantDay: number | null;
  readonly stages: readonly StageRun[];
  readonly refillDays: readonly number[];
  /** Given by the pump for the plants, ml; most in one day; and to each plant, ml and mg. */
  readonly ml: number;
  readonly mostDayMl: number;
  readonly eachMl: number;
  readonly eachSaltsMg: number;
  /** The mat at full heat, W, and what it took. */
  readonly matW: number;
  readonly matKwh: number;
  /** Driest that the wool got, share; plants that died, share; and growth against plants that lacked nothing. */
  readonly driestShare: number;
  readonly deadShare: number;
  readonly growthShare: number;
  readonly alarms: readonly { readonly alarm: AlarmName; readonly day: number }[];
  readonly doses: readonly GivenDose[];
  readonly course: Course;
}

/** What the season came to. */
export function rehearsalOf(season: Season): Rehearsal {
  const { looks, journal, sownMs, endMs, visits, end, given, plan } = season;
  const dayOf = (ms: number): number => (ms - sownMs) / DAY_MS;
  const orNull = (ms: number): number | null => (Number.isNaN(ms) ? null : dayOf(ms));
  const since = journal.filter(({ uptimeMs }) => uptimeMs >= sownMs);
  const doses = since.flatMap((entry): readonly GivenDose[] =>
    entry.kind === 'dose' && isNeed(entry.reason)
      ? [{ day: dayOf(entry.uptimeMs), stage: entry.stage, ml: entry.plannedMl }]
      : [],
  );
  const duty = since.reduce(
    (sum, entry) => (entry.kind === 'reading' ? sum + entry.matDutyShare : sum),
    0,
  );
  const matW = (plan.matFluxWM2 ?? MAT.fluxWM2) * MAT.areaM2;
  return {
    days: dayOf(endMs),
    emergedDay: orNull(season.emergedMs),
    firstFeedDay: doses[0]?.day ?? null,
    transplantDay: orNull(visits.transplantedMs),
    stages: stagesOf(looks, sownMs, doses),
    refillDays: since.flatMap((entry) => {
      const day = dayOf(entry.uptimeMs);
      // The first filling is part of sowing.
      return entry.kind === 'refill' && day > FIRST_FILL_DAYS ? [day] : [];
    }),
    ml: doses.reduce((sum, { ml }) => sum + ml, 0),
    mostDayMl: mostInADay(doses),
    ...given,
    matW,
    matKwh: (duty * READING_H * matW) / 1000,
    driestShare: Math.max(0, ...looks.map(({ truth }) => truth.tray.dryBackShare)),
    deadShare: end.plants.deadShare,
    growthShare: end.plants.growthShare,
    alarms: since.flatMap((entry) =>
      entry.kind === 'alarm' && entry.change === 'raised'
        ? [{ alarm: entry.alarm, day: dayOf(entry.uptimeMs) }]
        : [],
    ),
    doses,
    course: courseOf(looks, sownMs, visits.transplantedMs),
  };
}

function courseOf(looks: readonly Look[], sownMs: number, transplantedMs: number): Course {
  const column = <T>(of: (look: Look) => T): readonly T[] => looks.map(of);
  return {
    days: column(({ atMs }) => (atMs - sownMs) / DAY_MS),
    rootZoneC: column(({ truth }) => truth.rootZoneC),
    bandLowC: column(({ bandLowC }) => bandLowC),
    bandHighC: column(({ bandHighC }) => bandHighC),
    dryBackShare: column(({ truth: { tray } }) => (tray.onScale ? tray.dryBackShare : null)),
    eachMl: column(({ eachMl }) => eachMl),
    reservoirMl: column(({ truth }) => truth.pump.reservoirMl),
    standingShare: column(({ atMs, truth: { plants } }) =>
      atMs >= transplantedMs ? null : plants.emergedShare * (1 - plants.deadShare),
    ),
  };
}

function mostInADay(doses: readonly GivenDose[]): number {
  const byDay = new Map<number, number>();
  for (const { day, ml } of doses) {
    byDay.set(Math.floor(day), (byDay.get(Math.floor(day)) ?? 0) + ml);
  }
  return Math.max(0, ...byDay.values());
}

function stagesOf(looks: readonly Look[], sownMs: number, doses: readonly GivenDose[]): StageRun[] {
  const stages = [...new Set(looks.map(({ stage }) => stage))];
  return stages.flatMap((stage) => {
    const within = looks.filter((look) => look.stage === stage && look.truth.tray.onScale);
    const [first] = within;
    if (first === undefined) return [];
    const roots = within.map(({ truth }) => truth.rootZoneC);
    const given = doses.filter((dose) => dose.stage === stage);
    return [
      {
        stage,
        fromDay: (first.atMs - first.spanMs - sownMs) / DAY_MS,
        forDays: (within.length * first.spanMs) / DAY_MS,
        lid: first.lidWanted,
        inBandShare: within.filter((look) => beyondBandK(look) <= IN_BAND_K).length / within.length,
        coldestC: Math.min(...roots),
        warmestC: Math.max(...roots),
        ml: given.reduce((sum, { ml }) => sum + ml, 0),
        doses: given.length,
      },
    ];
  });
}

/** Hysteresis carries the root zone so far past its band, K. */
export const IN_BAND_K = 0.5;
