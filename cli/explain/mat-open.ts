/** A mat that was cut off from its supply though it was asked for: where, as the sense line told. Pure. */
import { MAT_OPEN } from '../../shared/board/words';
import type { AlarmSpan } from './alarm-spans';
import type { CauseName } from './causes';
import { type CauseRule, claim, type Finding, rank } from './finding';
import { raisedClaim } from './raised';
import { hoursOf, lasted, spanFinding, stillWeight } from './span-finding';
import type { Stand } from './stand';

interface Place {
  readonly cause: CauseName;
  readonly value: number;
  readonly says: string;
}

const PLACES: readonly Place[] = [
  {
    cause: 'mat-fuse',
    value: MAT_OPEN.fuse,
    says: 'the sense line showed nothing behind the fuse of the mat',
  },
  {
    cause: 'mat-lead',
    value: MAT_OPEN.lead,
    says: 'the sense line showed the lead of the mat open behind its fuse',
  },
  {
    cause: 'mat-cut-out',
    value: MAT_OPEN.cutOut,
    says: 'the sense line showed the lead of the mat open behind its fuse, and the mat had been hot',
  },
  {
    cause: 'mat-switch-open',
    value: MAT_OPEN.switch,
    says: 'the sense line showed the mat connected, and its own switch open',
  },
];

const RULES: readonly CauseRule<AlarmSpan>[] = PLACES.map(({ cause, value, says }) => ({
  cause,
  weigh: ({ raised }) => [
    raised.entry.value === value ? { points: 4, claim: claim(says, [raised]) } : null,
  ],
}));

/** One for each time that the alarm stood. */
export function cutOffMats({ spans }: Stand): readonly Finding[] {
  return spans.filter(({ alarm }) => alarm === 'mat-open').map(finding);
}

function finding(span: AlarmSpan): Finding {
  return spanFinding(span, {
    kind: 'supply',
    what: lasted('The mat was cut off though it was asked for', span),
    causes: rank(RULES, span),
    did: [raisedClaim(span, 'that the mat is cut off')],
    alarms: ['mat-open', 'mat-no-effect', 'too-cold', 'band-out-of-reach'],
    weight: 1 + hoursOf(span) + stillWeight(span),
  });
}
