/** Heat or water held off by an alarm of a sensor or a switch, until somebody has looked: which part failed, and how. Pure. */
import { ADVICE } from '../../shared/alarms/advice';
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { type AlarmSpan, overlaps } from './alarm-spans';
import type { CauseName } from './causes';
import { type CauseRule, claim, type Finding, piece, rank } from './finding';
import { HEAT_EVIDENCE, STORY_LIMITS } from './limits';
import { matWarmK } from './mat-warmth';
import { between, type Reading } from './record';
import { hoursOf, spanFinding, stillWeight } from './span-finding';
import type { Stand } from './stand';

const BEFORE_MS = 40 * MINUTE_MS;
/** Around the alarm of a mat that should be off. */
const SWITCHED_MS = 15 * MINUTE_MS;

interface Facts {
  readonly span: AlarmSpan;
  readonly before: readonly Reading[];
  readonly during: readonly Reading[];
  /** A fault of the same probe that ended just before, and what it was. */
  readonly wellAgain: AlarmSpan | null;
  readonly stuckOn: boolean;
  /** The sense line told it, not the root zone; and whether it told of the second switch as well. */
  readonly isSensed: boolean;
  readonly bothSensed: boolean;
  readonly matWarmK: number;
  readonly jumpK: number;
}

/** What an alarm says of its cause by itself, where one part can fail in one way. */
const PLAIN: Partial<Readonly<Record<AlarmName, CauseName>>> = {
  'probe-open': 'probe-open',
  'probe-short': 'probe-short',
  'probe-frozen': 'probe-stuck',
  'scale-silent': 'scale-unplugged',
  'scale-saturated': 'scale-saturated',
  'scale-noisy': 'scale-noisy',
};

/** The alarms that this kind of incident is about; those of doses and inflow have rules of their own. */
const ABOUT: readonly AlarmName[] = [
  ...(Object.keys(PLAIN) as AlarmName[]),
  'probe-jumped',
  'probe-suspect',
  'mat-probe-failed',
  'root-zone-hot',
  'mat-hot',
  'mat-stuck-on',
];

const FAULT_OF_PROBE: Partial<Readonly<Record<AlarmName, CauseName>>> = {
  'probe-open': 'probe-open',
  'probe-short': 'probe-short',
  'probe-frozen': 'probe-stuck',
};

const RULES: readonly CauseRule<Facts>[] = [
  ...(Object.entries(PLAIN) as [AlarmName, CauseName][]).map(
    ([alarm, cause]): CauseRule<Facts> => ({
      cause,
      weigh: ({ span, wellAgain }) => [
        piece(span.alarm === alarm, 4, `alarm "${ADVICE[alarm].title}"`, [span.raised]),
        piece(
          span.alarm === 'probe-jumped' &&
            wellAgain !== null &&
            FAULT_OF_PROBE[wellAgain.alarm] === cause,
          4,
          'the probe jumped when it was well again',
          [span.raised, ...(wellAgain === null ? [] : [wellAgain.raised])],
        ),
      ],
    }),
  ),
  {
    cause: 'probe-out',
    weigh: ({ span, wellAgain, jumpK }) => [
      piece(span.alarm === 'probe-jumped', 3, 'it changed faster than wet wool can', [span.raised]),
      piece(span.alarm === 'probe-suspect', 3, 'the mat got warm and the probe did not follow', [
        span.raised,
      ]),
      piece(
        span.alarm === 'root-zone-hot' && jumpK > HEAT_EVIDENCE.probeJumpK,
        2,
        'it changed faster than wet wool can',
        [span.raised],
      ),
      piece(wellAgain !== null, -2, 'it had failed otherwise just before', [span.raised]),
    ],
  },
  {
    cause: 'mat-probe-stuck',
    weigh: (facts) => [
      piece(
        facts.span.alarm === 'mat-probe-failed' && repeats(facts.during),
        4,
        'the mat probe repeated one value',
        [facts.span.raised],
      ),
    ],
  },
  {
    cause: 'mat-probe-open',
    weigh: ({ span, during }) => [
      piece(
        span.alarm === 'mat-probe-failed' &&
          !repeats(during) &&
          span.raised.entry.value >= span.raised.entry.limit,
        4,
        'the mat probe read like a broken wire',
        [span.raised],
      ),
    ],
  },
  {
    cause: 'mat-probe-short',
    weigh: ({ span, during }) => [
      piece(
        span.alarm === 'mat-probe-failed' &&
          !repeats(during) &&
          !(span.raised.entry.value >= span.raised.entry.limit),
        3.5,
        'the mat probe read like two wires touching',
        [span.raised],
      ),
    ],
  },
  {
    cause: 'mat-stuck-on',
    weigh: ({ span, stuckOn, isSensed, bothSensed, matWarmK }) => [
      piece(
        span.alarm === 'mat-stuck-on' && !isSensed,
        2,
        'the root zone warmed on with the mat switched off',
        [span.raised],
      ),
      piece(bothSensed, 4, 'the sense line showed both its switches closed with the mat off', [
        span.raised,
      ]),
      piece(
        isHeat(span) && stuckOn && !(isSensed && !bothSensed),
        2,
        ({ value }) =>
          `the mat was ${value('temperature-difference', matWarmK)} warmer than the root zone although it was off`,
        [span.raised],
      ),
    ],
  },
  {
    cause: 'mat-switch',
    weigh: ({ span, isSensed, bothSensed }) => [
      piece(
        isSensed && !bothSensed,
        4,
        'the sense line showed its own switch closed with the mat off',
        [span.raised],
      ),
    ],
  },
  {
    cause: 'sun',
    weigh: ({ span, stuckOn, isSensed }) => [
      piece(isHeat(span) && !isSensed, 1, 'the root zone warmed with the mat off', [span.raised]),
      piece(isHeat(span) && stuckOn, -0.8, 'the mat was the warmer of the two', [span.raised]),
    ],
  },
];

const isHeat = ({ alarm }: AlarmSpan): boolean =>
  alarm === 'mat-stuck-on' || alarm === 'root-zone-hot' || alarm === 'mat-hot';

const isLiveSupply = ({ alarm, raised }: AlarmSpan): boolean =>
  alarm === 'supply-wrong' && raised.entry.value !== 0;

/** Not one reading of the mat differs from the one before. */
function repeats(during: readonly Reading[]): boolean {
  const known = during.filter(({ matC }) => Number.isFinite(matC));
  return known.length >= 3 && known.every(({ matC }) => matC === known[0]?.matC);
}

/** Every time that such an alarm held something off; one for each, they are joined by their cause. */
export function lockOuts({ record, spans }: Stand): readonly Finding[] {
  return spans
    .filter(({ alarm }) => ABOUT.includes(alarm))
    .map((span) => finding(span, factsOf(span, record.readings, spans)));
}

function factsOf(
  span: AlarmSpan,
  readings: readonly Reading[],
  spans: readonly AlarmSpan[],
): Facts {
  const before = between(readings, span.fromMs - BEFORE_MS, span.fromMs);
  const during = between(
    readings,
    span.fromMs - 10 * MINUTE_MS,
    Math.min(span.endedMs ?? span.toMs, span.fromMs + 3 * HOUR_MS),
  );
  const wellAgain =
    span.alarm !== 'probe-jumped'
      ? null
      : (spans.find(
          ({ alarm, endedMs }) =>
            FAULT_OF_PROBE[alarm] !== undefined &&
            endedMs !== null &&
            Math.abs(span.fromMs - endedMs) <= STORY_LIMITS.wellAgainMs,
        ) ?? null);
  const warmK = matWarmK(readings, span.fromMs - SWITCHED_MS, span.fromMs + SWITCHED_MS);
  const jumpK = before.reduce((most, { rootZoneC }, i) => {
    const from = before[i - 1]?.rootZoneC ?? Number.NaN;
    return Math.max(most, Math.abs(rootZoneC - from) || 0);
  }, 0);
  // By the sense line there is no temperature to tell with it.
  const isSensed = span.alarm === 'mat-stuck-on' && !Number.isFinite(span.raised.entry.value);
  return {
    span,
    isSensed,
    bothSensed: isSensed && spans.some((other) => isLiveSupply(other) && overlaps(other, span)),
    before,
    during,
    wellAgain,
    stuckOn: warmK > HEAT_EVIDENCE.matGivesK,
    matWarmK: warmK,
    jumpK,
  };
}

function finding(span: AlarmSpan, facts: Facts): Finding {
  const { alarm, fromMs, toMs, standing, raised, notes } = span;
  const { dropsMat, dropsPump, latched } = ALARMS[alarm];
  const held = [...(dropsMat ? ['the mat'] : []), ...(dropsPump ? ['the pump'] : [])].join(' and ');
  const last = notes.at(-1) ?? raised;
  return spanFinding(span, {
    kind: 'lock-out',
    what: claim(
      ({ span: shown }) =>
        `${ADVICE[alarm].title}: ${held} held off for ${shown(toMs - fromMs)}${standing ? ', and still' : ''}`,
      [raised, last],
    ),
    causes: rank(RULES, facts),
    did: [
      claim(
        ({ time }) =>
          `It held ${held} off from ${time(fromMs)}${latched ? ', until somebody says that it is mended' : ' as long as it lasted'}`,
        [raised],
      ),
    ],
    alarms: [alarm, ...(dropsPump ? WITHOUT_WATER : []), ...(dropsMat ? WITHOUT_HEAT : [])],
    weight: (dropsMat ? 1 : 0.4) * hoursOf(span) + stillWeight(span),
  });
}

const WITHOUT_WATER: readonly AlarmName[] = [
  'feed-late',
  'water-held',
  'too-dry',
  'calibration-missing',
];
const WITHOUT_HEAT: readonly AlarmName[] = ['too-cold', 'band-out-of-reach'];
