/** Holds the story of a night of the bench against what really went wrong in it. */
import type { FaultName } from '../../firmware/bench/faults';
import type { NightRun } from '../../firmware/bench/nights/night';
import { dateEntries } from '../journal/dating';
import type { CauseName } from './causes';
import { type Story, storyOf } from './story';

/** What each fault of the bench is called in a story; null for one that no journal can show. */
const CAUSE_OF: Readonly<Record<FaultName, CauseName | null>> = {
  'probe-open': 'probe-open',
  'probe-short': 'probe-short',
  'probe-stuck': 'probe-stuck',
  'probe-out': 'probe-out',
  'mat-probe-open': 'mat-probe-open',
  'mat-probe-stuck': 'mat-probe-stuck',
  'mat-dead': 'mat-dead',
  'mat-lead-open': 'mat-lead',
  'mat-fuse-blown': 'mat-fuse',
  'mat-stuck-on': 'mat-stuck-on',
  'mat-switch-welded': 'mat-switch',
  'tube-off': 'tube-off',
  'tube-worn': 'tube-worn',
  'reservoir-empty': 'reservoir-empty',
  leak: 'leak',
  wick: 'wick',
  siphon: 'siphon',
  'pump-stuck-on': 'pump-stuck-on',
  'scale-unplugged': 'scale-unplugged',
  'scale-saturated': 'scale-saturated',
  'scale-noisy': 'scale-noisy',
  'lid-open': 'lid-open',
  'tray-lifted': 'tray-lifted',
  'mains-cut': 'power-out',
  'board-hung': 'controller-hung',
  'link-noise': null,
};

export interface NightVerdict {
  readonly run: NightRun;
  readonly story: Story;
  /** The causes that should be named: of the faults that could be felt. */
  readonly due: readonly CauseName[];
  /** Named first of all, or null where nothing was told; and all that are told as likely or possible. */
  readonly first: CauseName | null;
  readonly named: readonly CauseName[];
  readonly right: boolean;
}

export function judgeNight(run: NightRun): NightVerdict {
  const story = storyOf(dateEntries(run.journal), {
    byId: new Map([[run.profileId, run.profile]]),
    activeId: run.profileId,
  });
  const { incidents } = story;
  const due = causesOf(run.felt);
  const named = incidents.flatMap(({ causes }) =>
    causes.filter(({ fit }) => fit !== 'poor').map(({ cause }) => cause),
  );
  const first = incidents[0]?.causes[0]?.cause ?? null;
  return { run, story, due, first, named, right: isRight(run, due, first, named) };
}

const causesOf = (faults: readonly FaultName[]): readonly CauseName[] =>
  faults.map((fault) => CAUSE_OF[fault]).filter((cause) => cause !== null);

/**
 * One fault: its cause is named first. Several: each is among those named. None that could be felt: nothing is told, or
 * only what the plan has too faintly for it to be asked for.
 */
function isRight(
  { plan }: NightRun,
  due: readonly CauseName[],
  first: CauseName | null,
  named: readonly CauseName[],
): boolean {
  const planned = causesOf(plan.troubles.map(({ fault }) => fault));
  if (due.length === 0) return first === null || planned.includes(first);
  if (plan.kind === 'single') return first === due[0];
  return due.every((cause) => named.includes(cause));
}
