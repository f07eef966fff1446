/** What will wait for hands at a tray that is left alone, and when. Pure. */
import { isOtherFeed } from '../../firmware/control/feed';
import { emergenceOf } from '../../shared/profile/host/emergence';
import type { Profile, Stage } from '../../shared/profile/profile';
import { formatQuantity, type UnitSystem } from '../../shared/units';
import { DAY_MS } from '../../shared/units/time';
import { notesOf, type Record } from '../explain/record';
import type { Place, StageBegin } from '../forecast/walk';
import { lidText } from '../words/lid';
import type { TaskKind } from './model';

/** A task, and in how many ms from the end of the journal it is due. */
export interface Task {
  readonly kind: TaskKind;
  readonly inMs: number;
  readonly says: string;
}

/** What somebody comes for, in the words of the list of limits. */
export const HANDS_FOR: { readonly [kind in TaskKind]: string } = {
  emergence: 'seed may be up',
  stage: 'the next stage begins',
  feed: 'feed is wanted',
  transplant: 'the transplant is due',
};

/** Seed is up so much sooner than its middle in one lot of ten (common practice: two days of eight). */
const EARLY_SHARE = 0.75;
/** A week of hardening, then the transplant (common practice; Utah State Univ.). */
const HARDENED_MS = 7 * DAY_MS;

/** In order of time. `begins`: stages that will begin by themselves. */
export function tasksOf(
  record: Record,
  nowMs: number,
  place: Place,
  begins: readonly StageBegin[],
  units: UnitSystem,
): readonly Task[] {
  const { profile, stage, feedEc } = place;
  const now = profile.stages[stage.index];
  if (now === undefined) return [];
  return [
    ...emergenceTask(record, nowMs, profile, stage.index),
    ...(isOtherFeed(feedEc, now.feedEc)
      ? [{ kind: 'feed' as const, inMs: 0, says: feedText(now, units) }]
      : []),
    ...transplantTask(now, stage.runMs),
    ...begins.flatMap(({ index, inMs }) => stageTask(profile, index, inMs, feedEc, units)),
  ].sort((a, b) => a.inMs - b.inMs);
}

const feedText = ({ feedEc }: Stage, units: UnitSystem): string =>
  `feed of ${formatQuantity('ec', feedEc, units)} is wanted`;

/** Half of the seed is up by then at the earliest, by the trials of the crop; nobody can say for a crop without. */
function emergenceTask(record: Record, nowMs: number, profile: Profile, index: number): Task[] {
  const stage = profile.stages[index];
  if (stage?.end.mark !== 'emerged') return [];
  const sown = notesOf(record, 'mark')
    .filter(({ entry, atMs }) => entry.mark === 'sown' && atMs <= nowMs)
    .at(-1);
  const days = emergenceOf(profile)?.days;
  if (sown === undefined || days === undefined) return [];
  const dueMs = sown.atMs + EARLY_SHARE * days * DAY_MS - nowMs;
  const lid = profile.stages[index + 1]?.lid;
  const then = lid === undefined ? '' : `: lid ${lidText(lid)},`;
  return [
    {
      kind: 'emergence',
      inMs: Math.max(0, dueMs),
      says: `${HANDS_FOR.emergence}${then} and \`trayward mark emerged\``,
    },
  ];
}

function transplantTask({ end }: Stage, runMs: number): Task[] {
  if (end.mark !== 'transplanted') return [];
  const inMs = Math.max(0, HARDENED_MS - runMs);
  return [{ kind: 'transplant', inMs, says: HANDS_FOR.transplant }];
}

/** What a stage that begins by itself wants otherwise than the one before. */
function stageTask(
  profile: Profile,
  index: number,
  inMs: number,
  feedEc: number,
  units: UnitSystem,
): Task[] {
  const stage = profile.stages[index];
  const before = profile.stages[index - 1];
  if (stage === undefined || before === undefined) return [];
  const wants = [
    ...(stage.lid === before.lid ? [] : [`lid ${lidText(stage.lid)}`]),
    ...(isOtherFeed(feedEc, stage.feedEc) && stage.feedEc !== before.feedEc
      ? [feedText(stage, units)]
      : []),
  ];
  const begins: Task[] =
    wants.length === 0
      ? []
      : [{ kind: 'stage', inMs, says: `${wants.join(', ')}: stage ${stage.name} begins` }];
  const ends = transplantTask(stage, 0).map((task) => ({ ...task, inMs: inMs + task.inMs }));
  return [...begins, ...ends];
}

/** What is done every day at a tray like this one: germination under a closed lid wants fresh air (common practice). */
export function dailyTasks({ profile, stage }: Place): readonly string[] {
  const lid = profile.stages[stage.index]?.lid;
  return lid === 'closed'
    ? ['the lid is closed: lift it for a minute of fresh air, or somebody does']
    : [];
}
