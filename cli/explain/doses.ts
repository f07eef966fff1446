/** Doses that did not come, or not as they should: nothing, a little, half, or far too much. Pure. */
import type { DoseReason, DoseVerdict } from '../../shared/journal/kinds';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { type CauseRule, claim, type Finding, piece, rank } from './finding';
import { WATER_EVIDENCE as LIMITS } from './limits';
import { type NoteOf, notesOf, type Record } from './record';
import type { Stand } from './stand';
import type { Rate } from './weights';

/** Runs of the pump that a grower asks for. */
export const DOSED_BY_HAND: readonly DoseReason[] = ['prime', 'calibrate'];

const WRONG = ['not-seen', 'too-large'] as const;
/** Doses that nobody could weigh; two of them in a row stop the water. */
const UNWEIGHED: readonly DoseVerdict[] = ['unproved', 'handled', 'stopped', 'cut'];

interface Facts {
  readonly dose: NoteOf<'dose'>;
  /** With what dried meanwhile. */
  readonly gainedG: number;
  readonly share: number;
  /** What the account says was left, as a share of what was filled in; NaN while nobody has told. */
  readonly leftShare: number;
  readonly filled: NoteOf<'refill'> | null;
  /** What the doses before gave, as a share of what they should. */
  readonly beforeShare: number;
  /** The scale could not weigh it. */
  readonly unweighed: boolean;
}

const came: CauseRule<Facts>[] = [
  {
    cause: 'tube-off',
    weigh: ({ dose, gainedG, unweighed }) => [
      piece(
        !unweighed && isNothing(gainedG),
        2,
        ({ value }) =>
          `nothing came of ${value('volume', dose.entry.plannedMl)}, not even what was in the tube`,
        [dose],
      ),
      piece(!unweighed && isTubeful(gainedG), 0.4, 'hardly anything came', [dose]),
    ],
  },
  {
    cause: 'reservoir-empty',
    weigh: ({ dose, gainedG, share, leftShare, filled, beforeShare, unweighed }) => [
      piece(!unweighed && isNothing(gainedG), 1.2, 'nothing came', [dose]),
      // Less than what speaks for the tube: it is known only to whoever looks into the reservoir.
      piece(
        !unweighed && share > LIMITS.wornLeast && share < LIMITS.wornMost && !(beforeShare < 0.9),
        1.8,
        'no dose before it fell short: it may have run dry in the middle of this one',
        [dose],
      ),
      piece(
        !unweighed && isTubeful(gainedG) && share < 0.4,
        2.4,
        ({ value }) =>
          `${value('mass', gainedG)} came, about what the tube holds, and then no more`,
        [dose],
      ),
      piece(
        leftShare < LIMITS.accountLow,
        2,
        'by the account of doses it was nearly empty',
        filled === null ? [] : [filled],
      ),
      piece(
        leftShare > 0.5 && isNothing(gainedG),
        -0.5,
        'by the account of doses more than half was left',
        filled === null ? [] : [filled],
      ),
    ],
  },
  {
    cause: 'pump-dead',
    weigh: ({ dose, gainedG, unweighed }) => [
      piece(!unweighed && isNothing(gainedG), 0.8, 'nothing came', [dose]),
    ],
  },
  {
    cause: 'tube-worn',
    weigh: ({ dose, gainedG, share, beforeShare, unweighed }) => [
      piece(
        !unweighed && !isTubeful(gainedG) && share > LIMITS.wornLeast && share < LIMITS.wornMost,
        2.5,
        ({ value }) =>
          `${value('mass', gainedG)} came of ${value('volume', dose.entry.plannedMl)}: ${Math.round(share * 100)} % of the dose`,
        [dose],
      ),
      piece(
        !unweighed && isTubeful(gainedG) && share > LIMITS.wornLeast,
        1.5,
        'some of the dose came',
        [dose],
      ),
      piece(beforeShare < 0.9, 0.5, 'the doses before gave less than they should', [dose]),
    ],
  },
  {
    cause: 'leak',
    weigh: ({ dose, share, unweighed }) => [
      piece(
        !unweighed && share > LIMITS.wornLeast && share < LIMITS.wornMost,
        1,
        'some of the dose was missing when it had soaked in',
        [dose],
      ),
    ],
  },
  {
    cause: 'siphon',
    weigh: ({ dose }) => [
      piece(dose.entry.verdict === 'too-large', 1.6, 'far more came than was pumped', [dose]),
    ],
  },
  {
    cause: 'hand-water',
    weigh: ({ dose }) => [
      piece(dose.entry.verdict === 'too-large', 1.4, 'far more came than was pumped', [dose]),
    ],
  },
  {
    cause: 'hands-at-dose',
    weigh: ({ dose, unweighed }) => [
      piece(
        unweighed && dose.entry.verdict === 'handled',
        2,
        'a hand moved the weight before the dose had shown on it; two doses in a row that cannot be weighed stop the water',
        [dose],
      ),
    ],
  },
  {
    cause: 'not-told',
    weigh: ({ dose, unweighed }) => [piece(unweighed, 1, 'the dose could not be weighed', [dose])],
  },
];

const isNothing = (gainedG: number): boolean => gainedG < LIMITS.nothingG;
const isTubeful = (gainedG: number): boolean =>
  gainedG >= LIMITS.nothingG && gainedG <= LIMITS.tubeG;

/** A finding for each dose that was wrong; `unproved` ones only where they stopped the water. */
export function wrongDoses({ record, spans, rates }: Stand): readonly Finding[] {
  const doses = notesOf(record, 'dose').filter(
    ({ entry }) => !DOSED_BY_HAND.includes(entry.reason),
  );
  return doses.flatMap((dose, i) => {
    const wrong = WRONG.some((verdict) => verdict === dose.entry.verdict);
    const unweighed = UNWEIGHED.includes(dose.entry.verdict);
    const stopped = spans.find(
      ({ alarm, fromMs }) =>
        (alarm === 'dose-not-seen' || alarm === 'dose-too-large') &&
        Math.abs(fromMs - dose.atMs) < MINUTE_MS,
    );
    if (!wrong && !(unweighed && stopped !== undefined)) return [];
    const toMs = stopped?.toMs ?? dose.atMs;
    return [
      finding(
        factsOf(record, doses, i, dose, driedG(dose, record, rates)),
        toMs,
        stopped?.standing ?? false,
      ),
    ];
  });
}

function factsOf(
  record: Record,
  doses: readonly NoteOf<'dose'>[],
  i: number,
  dose: NoteOf<'dose'>,
  driedG: number,
): Facts {
  const { plannedMl, verdict } = dose.entry;
  const gainedG = dose.entry.gainedG + driedG;
  const filled =
    notesOf(record, 'refill')
      .filter(({ atMs }) => atMs <= dose.atMs)
      .at(-1) ?? null;
  const since = doses.slice(0, i).filter(({ atMs }) => atMs > (filled?.atMs ?? 0));
  const givenMl = since.reduce((sum, { entry }) => sum + entry.plannedMl, 0);
  const volumeMl = filled?.entry.volumeMl ?? Number.NaN;
  const seen = doses.slice(Math.max(0, i - 3), i).filter(({ entry }) => entry.verdict === 'seen');
  const share = (list: readonly NoteOf<'dose'>[]): number =>
    list.reduce((sum, { entry }) => sum + entry.gainedG / entry.plannedMl, 0) / list.length;
  return {
    dose,
    gainedG,
    share: gainedG / plannedMl,
    leftShare: (volumeMl - givenMl) / volumeMl,
    filled,
    beforeShare: share(seen),
    unweighed: UNWEIGHED.includes(verdict) || Number.isNaN(gainedG),
  };
}

/** What dried while the dose soaked in: by that a tray that got nothing is lighter, g. */
function driedG(dose: NoteOf<'dose'>, record: Record, rates: readonly Rate[]): number {
  const rate = rates.filter(({ atMs }) => atMs <= dose.atMs).at(-1);
  const stage = record.profileAt(dose.atMs)?.stages[dose.entry.stage];
  if (rate === undefined || dose.atMs - rate.atMs > HOUR_MS) return 0;
  const hours = (dose.entry.ranMs / 1000 + (stage?.watering?.soakInS ?? 0)) / 3600;
  return Math.max(0, rate.gPerH) * hours;
}

const SAID = {
  'not-seen': 'A dose did not arrive',
  'too-large': 'Far more water came than a dose',
  unproved: 'A dose could not be weighed',
} as const;

function finding(facts: Facts, toMs: number, open: boolean): Finding {
  const { dose, gainedG, unweighed } = facts;
  const { plannedMl, verdict } = dose.entry;
  const missedMl =
    unweighed || verdict === 'too-large' ? 0 : Math.max(0, plannedMl - Math.max(0, gainedG));
  const part = verdict === 'not-seen' && facts.share > LIMITS.wornLeast;
  const said = part
    ? 'Only a part of a dose arrived'
    : SAID[unweighed ? 'unproved' : verdict === 'too-large' ? verdict : 'not-seen'];
  return {
    kind: 'doses',
    fromMs: dose.atMs - dose.entry.ranMs,
    toMs,
    open,
    what: claim(
      ({ value, time }) => {
        const got = unweighed
          ? ''
          : `: ${value('mass', Math.max(0, gainedG))} of ${value('volume', plannedMl)}`;
        return `${said}${got}, ${time(dose.atMs)}`;
      },
      [dose],
    ),
    causes: rank(came, facts),
    did: [
      claim(
        ({ time }) =>
          toMs > dose.atMs
            ? `It gave no more water from ${time(dose.atMs)}, until somebody says that it is mended`
            : 'It went on watering',
        [dose],
      ),
    ],
    crop:
      missedMl > 0
        ? [
            claim(
              ({ value }) =>
                `The tray missed ${value('volume', missedMl)} then, and all doses after it`,
              [dose],
            ),
          ]
        : [],
    measures: { missedMl },
    alarms: [
      'dose-not-seen',
      'dose-too-large',
      'pump-off',
      'reservoir-low',
      'feed-late',
      'water-held',
      'too-dry',
    ],
    weight: 2 + (toMs - dose.atMs) / HOUR_MS / 2 + (open ? 4 : 0),
  };
}
