/** When a seedling gets its first feed, and each stage the one it opens with. Pure. */
import type { Flag } from './breach';
import { isBelow } from './fields';
import { PROFILE_LIMITS as LIMITS } from './limits';
import { type Stage, waters } from './profile';

/** Index of the stage at whose end the seed is up: marked so, or else the first. */
export function emergenceStage(stages: readonly Stage[]): number {
  return Math.max(
    0,
    stages.findIndex(({ end }) => end.mark === 'emerged'),
  );
}

/** Index of the first stage after `i` that waters, -1 for none. */
const nextWeigh = (stages: readonly Stage[], i: number): number =>
  stages.findIndex((stage, at) => at > i && waters(stage));

/** Longest that a stage can last, s. */
const longestS = ({ end }: Stage): number => end.afterS || Number.POSITIVE_INFINITY;

/**
 * From emergence to the first feed in s, at the latest: what the stages between can last, and what the
 * first one that waters takes to open. Infinity where nothing limits it, null where no stage waters.
 */
export function firstFeedS(stages: readonly Stage[]): number | null {
  const emerged = emergenceStage(stages);
  const first = nextWeigh(stages, emerged);
  if (first < 0) return null;
  return stages
    .slice(emerged + 1, first)
    .reduce((sum, stage) => sum + longestS(stage), stages[first]?.opening?.byS ?? Infinity);
}

/** Feed that a stage ahead opens with: in `inS` seconds at the latest, counted from now or from emergence. */
export interface FeedAhead {
  readonly from: 'now' | 'emergence';
  readonly inS: number;
}

/** Where a tray is in its stages. */
export interface StagePlace {
  readonly index: number;
  /** Run time of this stage, s, and what is left of it; null when time does not end it. */
  readonly ranS: number;
  readonly leftS: number | null;
  /** It has had the water it opens with. */
  readonly opened: boolean;
}

/**
 * The feed ahead of a tray at `place`; null where dry-back alone decides, where nothing limits when it comes, and
 * where none comes.
 */
export function feedAhead(stages: readonly Stage[], place: StagePlace): FeedAhead | null {
  const { index, ranS, leftS, opened } = place;
  const stage = stages[index];
  if (stage === undefined) return null;
  if (waters(stage)) {
    if (opened || stage.opening === null) return null;
    return { from: 'now', inS: Math.max(0, stage.opening.byS - ranS) };
  }
  if (index <= emergenceStage(stages)) return limited('emergence', firstFeedS(stages));
  const next = nextWeigh(stages, index);
  const opening = stages[next]?.opening;
  if (!opening || leftS === null) return null;
  const between = stages.slice(index + 1, next);
  return limited(
    'now',
    between.reduce((sum, one) => sum + longestS(one), leftS + opening.byS),
  );
}

const limited = (from: FeedAhead['from'], inS: number | null): FeedAhead | null =>
  inS === null || !Number.isFinite(inS) ? null : { from, inS };

/** The first stage that waters after emergence, and after each transplant, opens with water in time. */
export function checkOpenings(stages: readonly Stage[], flag: Flag): void {
  const emerged = emergenceStage(stages);
  const first = nextWeigh(stages, emerged);
  const needing = stages.flatMap(({ end }, i) =>
    i === emerged || end.mark === 'transplanted' ? [nextWeigh(stages, i)] : [],
  );
  for (const i of new Set(needing)) {
    if (stages[i] && !stages[i].opening) flag(`stages.${i}.opening`, 'opening-missing');
  }
  const byS = stages[first]?.opening?.byS;
  if (byS === undefined) return;
  const overS = (firstFeedS(stages) ?? 0) - LIMITS.firstFeedMaxS;
  if (!isBelow(0, overS)) return;
  if (byS - overS >= 0) flag(`stages.${first}.opening.byS`, 'first-feed-late', byS, 0, byS - overS);
  // However soon it opened, it would be late: the stage before it lasts too long.
  else flag(`stages.${first - 1}.end`, 'first-feed-late');
}
