/** Holds forecasts against what became of trays on the bench that nobody came to. Pure. */

import { Random } from '../../firmware/bench/random';
import type { Absence, AwaySeason, Drawn } from '../../firmware/bench/season/absences';
import { isNeed } from '../../firmware/control/need';
import type { AlarmName } from '../../shared/alarms/catalogue';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { recordOf } from '../explain/record';
import { standOf } from '../explain/stand';
import { dateEntries } from '../journal/dating';
import { forecastOf, surely } from './forecast';
import { doseAfter, type Watered } from './watered';

/** Of each absence, at random times in its first part. */
const CUTS_AN_ABSENCE = 6;
const CUT_FROM_MS = HOUR_MS;
const CUT_UNTIL_SHARE = 0.6;
/** What was left in the reservoir then: from a few doses to as much as most absences take, ml. */
const LEFT_ML = { least: 200, most: 2_000 } as const;
/** Ends of a tray's being held that a board tells of itself. */
const ENDING: readonly AlarmName[] = [
  'too-dry',
  'day-cap-reached',
  'stage-cap-reached',
  'dose-not-seen',
];

/** One forecast, and what came. */
export interface Cut {
  readonly seed: number;
  /** Uptime, ms; stage by name; and what the reservoir held. */
  readonly atMs: number;
  readonly stage: string;
  readonly reservoirMl: number;
  /** Told with certainty, ms from the cut; null: longer than is looked ahead. */
  readonly toldMs: number | null;
  /** When it came, ms from the cut; null: not before somebody was back. */
  readonly cameMs: number | null;
  readonly verdict: Judged;
  /** Whether the next dose came between the two times that were told of it. */
  readonly dose: Judged;
}

/** `longer`: the time told reaches beyond the absence, so that nobody can say. */
export type Judged = 'held' | 'not-held' | 'longer';

/** All cuts of a season; the same season gives the same ones. */
export function cutsOf(season: AwaySeason): readonly Cut[] {
  const draw = new Random(season.seed ^ 0x51ab);
  return season.absences.flatMap((absence) =>
    Array.from({ length: CUTS_AN_ABSENCE }, () => {
      const lastMs = CUT_UNTIL_SHARE * (absence.toMs - absence.fromMs);
      const atMs = absence.fromMs + draw.between(CUT_FROM_MS, lastMs);
      const ratio = LEFT_ML.most / LEFT_ML.least;
      return cutAt(season, absence, atMs, LEFT_ML.least * ratio ** draw.share());
    }),
  );
}

function cutAt(season: AwaySeason, absence: Absence, atMs: number, reservoirMl: number): Cut {
  const { journal, profile, profileId, seed } = season;
  const known = journal.filter(({ uptimeMs }) => uptimeMs <= atMs);
  const record = recordOf(dateEntries(known), {
    byId: new Map([[profileId, profile]]),
    activeId: profileId,
  });
  // The end of what is known is now; the last reading is some minutes old.
  const nowMs = record.toMs + atMs - (known.at(-1)?.uptimeMs ?? atMs);
  const found = forecastOf(standOf(record), nowMs, null);
  if (!found.ok) throw new Error(`season ${seed} cannot be forecast: ${found.why}`);
  const { place, uptake } = found.forecast;
  const toldMs = surely({ ...place, reservoirMl, usedMl: 0 }, uptake).ends[0]?.inMs ?? null;
  const cameAtMs = Math.min(emptyMs(season.drawn, atMs, reservoirMl), alarmMs(season, atMs));
  const cameMs = cameAtMs <= absence.toMs ? cameAtMs - atMs : null;
  const isSeen = toldMs !== null && atMs + toldMs <= absence.toMs;
  const held = cameMs === null || (toldMs !== null && cameMs >= toldMs);
  return {
    seed,
    atMs,
    stage: profile.stages[place.stage.index]?.name ?? '',
    reservoirMl,
    toldMs,
    cameMs,
    verdict: isSeen ? (held ? 'held' : 'not-held') : 'longer',
    dose: doseJudged(found.forecast.watered, doseMs(season, atMs), atMs, absence.toMs),
  };
}

/** The next dose by what was told at `atMs`; `cameMs` and `untilMs`, when somebody was back, by the same clock. */
function doseJudged(watered: Watered, cameMs: number, atMs: number, untilMs: number): Judged {
  const told = doseAfter(watered, 0);
  const latestMs = atMs + (told?.latestMs ?? Number.POSITIVE_INFINITY);
  if (cameMs > untilMs) return latestMs < untilMs ? 'not-held' : 'longer';
  if (told === null) return 'not-held';
  return cameMs >= atMs + told.soonestMs && cameMs <= latestMs ? 'held' : 'not-held';
}

/** When the tray was given its next dose by itself. */
function doseMs({ journal }: AwaySeason, fromMs: number): number {
  const dose = journal.find(
    (entry) => entry.uptimeMs > fromMs && entry.kind === 'dose' && isNeed(entry.reason),
  );
  return dose?.uptimeMs ?? Number.POSITIVE_INFINITY;
}

/** When the pump has drawn more since `fromMs` than there was. */
function emptyMs(drawn: readonly Drawn[], fromMs: number, ml: number): number {
  const before = drawn.filter(({ atMs }) => atMs <= fromMs).at(-1)?.ml ?? 0;
  return (
    drawn.find((one) => one.atMs > fromMs && one.ml - before > ml)?.atMs ?? Number.POSITIVE_INFINITY
  );
}

function alarmMs({ journal }: AwaySeason, fromMs: number): number {
  const raised = journal.find(
    (entry) =>
      entry.uptimeMs > fromMs &&
      entry.kind === 'alarm' &&
      entry.change === 'raised' &&
      ENDING.includes(entry.alarm),
  );
  return raised?.uptimeMs ?? Number.POSITIVE_INFINITY;
}

/** Even seeds are those that forecasts are tuned on. */
export const isUnseen = ({ seed }: Pick<Cut, 'seed'>): boolean => seed % 2 === 1;

/** How often what was said with certainty held. */
export interface Coverage {
  readonly cuts: number;
  readonly held: number;
  readonly share: number;
  /** Told to last longer than the absence; and in so many of them something came before that. */
  readonly longer: number;
  readonly longerWrong: number;
}

export function coverageOf(cuts: readonly Cut[]): Coverage {
  const judged = cuts.filter(({ verdict }) => verdict !== 'longer');
  const longer = cuts.filter(({ verdict }) => verdict === 'longer');
  const held = judged.filter(({ verdict }) => verdict === 'held').length;
  return {
    cuts: judged.length,
    held,
    share: held / judged.length,
    longer: longer.length,
    longerWrong: longer.filter(({ cameMs }) => cameMs !== null).length,
  };
}

/** How often the next dose came when it was said to, of those that somebody can have seen. */
export function dosesOf(cuts: readonly Cut[]): Pick<Coverage, 'cuts' | 'held' | 'share'> {
  const judged = cuts.filter(({ dose }) => dose !== 'longer');
  const held = judged.filter(({ dose }) => dose === 'held').length;
  return { cuts: judged.length, held, share: held / judged.length };
}

/** Days, for a table. */
export const daysText = (ms: number | null): string =>
  ms === null ? '-' : (ms / DAY_MS).toFixed(2);
