/** Spells below or above the band, and why: what was found before - no power, heat held off - or the mat, the room, the lid. Pure. */
import { ALARMS } from '../../shared/alarms/catalogue';
import { OUTPUT } from '../../shared/board/words';
import { overlaps } from './alarm-spans';
import { effectOf } from './crop';
import { type CauseRule, claim, type Finding, piece, rank } from './finding';
import { HEAT_EVIDENCE as LIMITS } from './limits';
import { median } from './lock-out';
import { between, notesOf } from './record';
import { type RootPoint, type Side, type Spell, spellsOf } from './root-zone';
import type { Stand } from './stand';
import type { Noted } from './time-line';

const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;

interface Facts {
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

const COLD: readonly CauseRule<Facts>[] = [
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

const WARM: readonly CauseRule<Facts>[] = [
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
    weigh: ({ duty, matWarmK, warmedKPerH, by }) => [
      piece(
        !(duty > LIMITS.noDuty) && matWarmK < LIMITS.matGivesK,
        1,
        'the mat was off and no warmer than the root zone',
        by,
      ),
      piece(
        warmedKPerH >= LIMITS.sunKPerH,
        1.2,
        ({ value }) => `it warmed by ${value('temperature-difference', warmedKPerH)} an hour`,
        by,
      ),
    ],
  },
  {
    cause: 'warm-room',
    weigh: ({ duty, matWarmK, warmedKPerH, by }) => [
      piece(
        !(duty > LIMITS.noDuty) && matWarmK < LIMITS.matGivesK,
        1,
        'the mat was off and no warmer than the root zone',
        by,
      ),
      piece(warmedKPerH < LIMITS.sunKPerH, 1.2, 'it warmed slowly', by),
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

/** Cold and warm spells; `others`: what has been found so far, which may be their cause. */
export function heatSpells(stand: Stand, others: readonly Finding[]): readonly Finding[] {
  return (['cold', 'warm'] as const).flatMap((side) =>
    spellsOf(stand.record, stand.points, side).map((spell) => finding(stand, spell, others)),
  );
}

/** Rules that make an earlier finding the cause of a cold spell: it took the heat away while the root zone fell. */
function byOthers(
  spell: Spell,
  onset: Onset,
  others: readonly Finding[],
): readonly CauseRule<Facts>[] {
  return others.flatMap((other): CauseRule<Facts>[] => {
    const [cause] = other.causes;
    if (
      cause === undefined ||
      !overlaps(other, { fromMs: onset.fromMs - HOUR_MS, toMs: onset.toMs })
    )
      return [];
    const share = coveredShare(other, onset);
    const points = pointsOf(other, spell, share);
    return points === 0
      ? []
      : [
          {
            cause: cause.cause,
            weigh: () => [piece(true, points, other.what.says, other.what.by)],
          },
        ];
  });
}

function pointsOf(other: Finding, { side }: Spell, share: number): number {
  if (side === 'warm') {
    const heats = other.causes[0]?.cause === 'mat-stuck-on';
    return heats && share > 0.3 ? 3 : 0;
  }
  switch (other.kind) {
    case 'outage':
    case 'restarts':
      return share > 0.25 ? 2 + 2 * share : 0;
    case 'lock-out': {
      const dropsMat = other.alarms.some((alarm) => ALARMS[alarm].dropsMat);
      return dropsMat && share > 0.25 ? 2 + 2 * share : 0;
    }
    case 'handling':
      return other.causes[0]?.cause === 'tray-lifted' && share > 0.25 ? 2 + 2 * share : 0;
    case 'drying':
      return share > 0.3 ? 2.4 : 0;
    case 'inflow':
      return share > 0.2 ? 2.2 : 0;
    default:
      return 0;
  }
}

/** From the last time inside the band to the coldest or warmest. */
interface Onset {
  readonly fromMs: number;
  readonly toMs: number;
}

const coveredShare = (other: Finding, { fromMs, toMs }: Onset): number =>
  Math.max(0, Math.min(other.toMs, toMs) - Math.max(other.fromMs, fromMs)) /
  Math.max(1, toMs - fromMs);

function factsOf({ record, points }: Stand, spell: Spell, onset: Onset): Facts {
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
  return points.reduce((most, { celsius, atMs, byMat }, i) => {
    const from = points[i - 1];
    if (from === undefined || byMat || from.byMat || atMs - from.atMs > 11 * MINUTE_MS) return most;
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

function finding(stand: Stand, spell: Spell, others: readonly Finding[]): Finding {
  const { side, worst, fromMs, toMs, open, before } = spell;
  const onset = { fromMs: Math.min(fromMs, before?.atMs ?? fromMs), toMs: worst.atMs };
  const facts = factsOf(stand, spell, onset);
  const effect = effectOf(stand.record, spell);
  const edge = side === 'cold' ? 'below' : 'above';
  const most = side === 'cold' ? 'coldest' : 'warmest';
  const note = worst.byMat ? ', by the mat probe, because the other was in doubt' : '';
  return {
    kind: side,
    fromMs,
    toMs,
    open,
    what: claim(
      ({ value, time, span }) =>
        `Root zone ${edge} its band for ${span(toMs - fromMs)}${open ? ' and still' : ''}, ${time(fromMs)} to ${time(toMs)}, ${most} ${value('temperature', worst.celsius)} at ${time(worst.atMs)}${note}`,
      ends(spell),
    ),
    causes: rank([...(side === 'cold' ? COLD : WARM), ...byOthers(spell, onset, others)], facts),
    did: [didClaim(stand, spell, facts)],
    crop: effect.claims,
    measures: {
      worstC: worst.celsius,
      degreeHours: spell.degreeHours,
      ...(effect.emergenceDays === null ? {} : { emergenceDays: effect.emergenceDays }),
      ...(effect.unbearableH > 0 ? { unbearableH: effect.unbearableH } : {}),
    },
    alarms:
      side === 'cold'
        ? ['too-cold', 'band-out-of-reach', 'mat-no-effect']
        : ['too-warm', 'root-zone-hot', 'mat-stuck-on'],
    weight: spell.degreeHours / (side === 'cold' ? 2 : 1) + (open ? 3 : 0),
  };
}

function ends({ points, before, worst }: Spell): readonly Noted[] {
  const some = [before, points[0], worst, points.at(-1)].flatMap((point) =>
    point ? [point.reading.note] : [],
  );
  return [...new Set(some)];
}

function didClaim({ spans }: Stand, { side, fromMs, toMs }: Spell, { duty, by }: Facts) {
  const told = spans.find(
    ({ alarm, raised }) =>
      alarm === (side === 'cold' ? 'too-cold' : 'too-warm') &&
      raised.atMs >= fromMs &&
      raised.atMs <= toMs,
  );
  const did =
    side === 'warm'
      ? 'It kept the mat off; it cannot cool'
      : duty >= LIMITS.allDuty
        ? 'It kept the mat on'
        : 'It heated as soon as nothing held the mat off';
  return claim(
    ({ time }) =>
      told === undefined ? did : `${did}, and raised its alarm at ${time(told.fromMs)}`,
    told === undefined ? by : [told.raised],
  );
}
