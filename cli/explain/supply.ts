/** A supply of mat and pump that is live though neither is asked for, or dead though one is: which part failed. Pure. */
import { type AlarmSpan, overlaps } from './alarm-spans';
import { type CauseRule, claim, type Finding, rank } from './finding';
import { HEAT_EVIDENCE, STORY_LIMITS } from './limits';
import { matWarmK } from './mat-warmth';
import { raisedClaim } from './raised';
import { hoursOf, lasted, spanFinding, stillWeight } from './span-finding';
import type { Stand } from './stand';

interface Facts {
  readonly span: AlarmSpan;
  readonly isLive: boolean;
  /** What was found of mat and pump while it was so: a weld of their own switches. */
  readonly welded: readonly Finding[];
  /** By how much the mat was warmer than the root zone though it was off, K; NaN where nobody knows. */
  readonly matWarmK: number;
}

const RULES: readonly CauseRule<Facts>[] = [
  ...(['mat-stuck-on', 'pump-stuck-on'] as const).map(
    (cause): CauseRule<Facts> => ({
      cause,
      weigh: ({ welded }) =>
        welded
          .filter((one) => one.causes[0]?.cause === cause)
          .flatMap((one) => one.causes[0]?.speaksFor ?? [])
          .map((told) => ({ points: 3, claim: told })),
    }),
  ),
  {
    cause: 'mat-stuck-on',
    weigh: ({ isLive, matWarmK, welded, span }) => [
      isLive && welded.length === 0 && matWarmK > HEAT_EVIDENCE.matGivesK
        ? {
            points: 3,
            claim: claim(
              ({ value }) =>
                `the mat was ${value('temperature-difference', matWarmK)} warmer than the root zone although it was off`,
              [span.raised],
            ),
          }
        : null,
    ],
  },
  {
    cause: 'second-switch',
    weigh: ({ isLive, span }) => [
      isLive
        ? { points: 1, claim: claim('the supply was live with mat and pump off', [span.raised]) }
        : null,
    ],
  },
  {
    cause: 'supply-dead',
    weigh: ({ isLive, span }) => [
      isLive
        ? null
        : {
            points: 3,
            claim: claim('there was no supply though mat or pump was asked for', [span.raised]),
          },
    ],
  },
];

/** `others`: what has been found of mat and pump so far. */
export function wrongSupplies(stand: Stand, others: readonly Finding[]): readonly Finding[] {
  return stand.spans
    .filter(({ alarm }) => alarm === 'supply-wrong')
    .map((span) => finding(factsOf(stand, span, others)));
}

const WELDS: readonly string[] = ['mat-stuck-on', 'pump-stuck-on'];

function factsOf({ record }: Stand, span: AlarmSpan, others: readonly Finding[]): Facts {
  const here = { fromMs: span.fromMs, toMs: span.toMs + STORY_LIMITS.chainMs };
  return {
    span,
    isLive: span.raised.entry.value !== 0,
    welded: others.filter(
      (one) => overlaps(one, here) && WELDS.includes(one.causes[0]?.cause ?? 'not-told'),
    ),
    matWarmK: matWarmK(record.readings, span.fromMs, span.toMs),
  };
}

function finding(facts: Facts): Finding {
  const { span, isLive } = facts;
  const was = isLive ? 'live though neither was asked for' : 'dead though one was asked for';
  return spanFinding(span, {
    kind: 'supply',
    what: lasted(`The supply of mat and pump was ${was}`, span),
    causes: rank(RULES, facts),
    did: [raisedClaim(span, 'that the supply is wrong')],
    alarms: ['supply-wrong', ...(isLive ? [] : WITHOUT_SUPPLY)],
    weight: 1 + (isLive ? 0.2 : 1) * hoursOf(span) + stillWeight(span),
  });
}

const WITHOUT_SUPPLY = ['mat-no-effect', 'too-cold', 'band-out-of-reach', 'dose-not-seen'] as const;
