/** What takes a root zone out of its band, and what of the record speaks for each. Pure. */
import { OUTPUT } from '../../shared/board/words';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { type CauseRule, type Piece, piece } from './finding';
import { HEAT_EVIDENCE as LIMITS } from './limits';
import { median } from './median';
import { between, notesOf } from './record';
import type { RootPoint, Side, Spell } from './root-zone';
import type { Stand } from './stand';
import type { Noted } from './time-line';

/** From the last time inside the band to the coldest or warmest. */
export interface Onset {
  readonly fromMs: number;
  readonly toMs: number;
}

export interface HeatFacts {
  readonly spell: Spell;
  /** Share of the time that the mat was on while the root zone went its way out of the band; NaN when nobody knows. */
  readonly duty: number;
  /** By how much the mat was warmer than the root zone meanwhile, K. */
  readonly matWarmK: number;
  /** Fastest change between two readings, K, and of the mat in the same time. */
  readonly jumpK: number;
  readonly warmedKPerH: number;
  readonly wetted: readonly Noted[];
  readonly by: readonly Noted[];
}

export const COLD_CAUSES: readonly CauseRule<HeatFacts>[] = [
  {
    cause: 'mat-dead',
    weigh: ({ duty, matWarmK, by }) => [
      piece(
        duty >= LIMITS.allDuty && matWarmK < LIMITS.matColdK,
        3,
        'the mat was switched on all the time and no warmer than the root zone',
        by,
      ),
      piece(
        duty >= LIMITS.allDuty && matWarmK >= LIMITS.matGivesK,
        -2,
        ({ value }) =>
          `the mat was ${value('temperature-difference', matWarmK)} warmer than the root zone`,
        by,
      ),
    ],
  },
  {
    cause: 'mat-weak',
    weigh: ({ duty, matWarmK, by }) => [
      piece(
        duty >= LIMITS.allDuty && matWarmK >= LIMITS.matGivesK,
        2,
        ({ value }) =>
          `the mat was on all the time and ${value('temperature-difference', matWarmK)} warmer than the root zone, and that was not enough`,
        by,
      ),
    ],
  },
  {
    cause: 'lid-open',
    weigh: ({ duty, matWarmK, by }) => [
      piece(
        duty >= LIMITS.allDuty && matWarmK >= LIMITS.matGivesK,
        1.1,
        'a tray without its lid loses twice the heat',
        by,
      ),
    ],
  },
  {
    cause: 'probe-out',
    weigh: ({ jumpK, by }) => [
      piece(
        jumpK >= LIMITS.probeJumpK,
        2,
        ({ value }) =>
          `it changed by ${value('temperature-difference', jumpK)} between two readings: wet wool cannot`,
        by,
      ),
    ],
  },
  {
    cause: 'cold-water',
    weigh: ({ wetted, jumpK }) => [
      piece(wetted.length > 0 && jumpK >= 0.5, 2.2, 'it was given water just then', wetted),
    ],
  },
  {
    cause: 'not-told',
    weigh: ({ by }) => [piece(true, 0.1, 'nothing in the journal explains it', by)],
  },
];

const restingMat = ({ duty, matWarmK, by }: HeatFacts): Piece | null =>
  piece(
    !(duty > LIMITS.noDuty) && matWarmK < LIMITS.matGivesK,
    1,
    'the mat was off and no warmer than the root zone',
    by,
  );

export const WARM_CAUSES: readonly CauseRule<HeatFacts>[] = [
  {
    cause: 'mat-stuck-on',
    weigh: ({ duty, matWarmK, by }) => [
      piece(
        !(duty > LIMITS.noDuty) && matWarmK > LIMITS.matGivesK,
        3,
        ({ value }) =>
          `the mat was ${value('temperature-difference', matWarmK)} warmer than the root zone though it was switched off`,
        by,
      ),
      piece(matWarmK < LIMITS.matColdK, -2, 'the mat was no warmer than the root zone', by),
    ],
  },
  {
    cause: 'sun',
    weigh: (facts) => [
      restingMat(facts),
      piece(
        facts.warmedKPerH >= LIMITS.sunKPerH,
        1.2,
        ({ value }) => `it warmed by ${value('temperature-difference', facts.warmedKPerH)} an hour`,
        facts.by,
      ),
    ],
  },
  {
    cause: 'warm-room',
    weigh: (facts) => [
      restingMat(facts),
      piece(facts.warmedKPerH < LIMITS.sunKPerH, 1.2, 'it warmed slowly', facts.by),
    ],
  },
  {
    cause: 'probe-out',
    weigh: ({ jumpK, by }) => [
      piece(
        jumpK >= LIMITS.probeJumpK,
        1.5,
        ({ value }) =>
          `it changed by ${value('temperature-difference', jumpK)} between two readings: wet wool cannot`,
        by,
      ),
    ],
  },
];

export function factsOf({ record, points }: Stand, spell: Spell, onset: Onset): HeatFacts {
  const readings = between(record.readings, onset.fromMs - 10 * MINUTE_MS, onset.toMs);
  const own = between(points, onset.fromMs - 20 * MINUTE_MS, onset.toMs + MINUTE_MS);
  const by = spell.points.length > 0 ? [spell.worst.reading.note] : [];
  const heated = readings.filter(({ matDutyShare }) =>
    spell.side === 'cold' ? matDutyShare >= LIMITS.allDuty : matDutyShare <= LIMITS.noDuty,
  );
  const apart = heated.map(({ matC, rootZoneC, outputs }) =>
    isOff(outputs, spell.side) ? matC - rootZoneC : Number.NaN,
  );
  return {
    spell,
    duty: median(readings.map(({ matDutyShare }) => matDutyShare).filter(Number.isFinite)),
    matWarmK: median(apart.filter(Number.isFinite)),
    jumpK: jumpOf(own),
    warmedKPerH: fastestKPerH(own),
    wetted: wettings(record, onset),
    by,
  };
}

/** A reading just after the mat was switched says nothing of what it gives. */
const isOff = (outputs: number, side: Side): boolean =>
  side === 'cold' || (outputs & OUTPUT.matOn) === 0;

function jumpOf(points: readonly RootPoint[]): number {
  return points.reduce((most, { celsius, atMs, byMat, reading }, i) => {
    const from = points[i - 1];
    if (from === undefined || byMat || from.byMat || atMs - from.atMs > 11 * MINUTE_MS) return most;
    // Between two runs of the board anything may have passed.
    if (reading.note.dated.entry.boot !== from.reading.note.dated.entry.boot) return most;
    return Math.max(most, Math.abs(celsius - from.celsius));
  }, 0);
}

function fastestKPerH(points: readonly RootPoint[]): number {
  return points.reduce((most, { celsius, atMs }, i) => {
    const from = points
      .slice(0, i)
      .filter((one) => atMs - one.atMs >= 30 * MINUTE_MS)
      .at(-1);
    return from === undefined
      ? most
      : Math.max(most, (celsius - from.celsius) / ((atMs - from.atMs) / HOUR_MS));
  }, 0);
}

function wettings(record: Stand['record'], { fromMs }: Onset): readonly Noted[] {
  const near = (atMs: number): boolean => Math.abs(atMs - fromMs) <= 30 * MINUTE_MS;
  const hands = notesOf(record, 'handling').filter(
    ({ entry, atMs }) => near(atMs) && entry.over && entry.afterG - entry.beforeG > 50,
  );
  return [
    ...notesOf(record, 'mark').filter(({ entry, atMs }) => near(atMs) && entry.mark === 'soaked'),
    ...hands,
  ];
}
