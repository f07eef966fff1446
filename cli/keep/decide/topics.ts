/** One tray: what stands, gathered into topics of one cause each, and the message that each is due. Pure. */
import { rankOf } from '../../../shared/alarms/priority';
import { MESSAGE_LIMITS } from '../limits';
import {
  type DueKind,
  isOfFamily,
  priorityOf,
  type Raised,
  type Standing,
  type Topic,
  type TrayView,
  type Trouble,
} from './model';

/** Not urgent enough to be told before the morning. */
const MORNING_RANK = rankOf('low');

/** Names a new topic. */
export type NextNumber = () => number;

type Causes = TrayView['causeOf'];

const canWait = (trouble: Trouble): boolean => rankOf(priorityOf(trouble)) >= MORNING_RANK;

/**
 * The topic that a trouble belongs to: one that had it, or one of the same cause that is not over. What can wait for the
 * morning is never in one with what cannot: the end of that would go untold.
 */
function placeOf(topics: readonly Topic[], trouble: Trouble, causes: Causes): Topic | undefined {
  const cause = causes[trouble];
  const isOfCause = (one: Topic): boolean =>
    !canWait(trouble) &&
    one.priority !== 'low' &&
    (cause === undefined ? isOfFamily(trouble, one.troubles) : one.cause === cause);
  return (
    topics.find(({ closed, troubles }) => !closed && troubles.includes(trouble)) ??
    topics.find((one) => !one.closed && isOfCause(one)) ??
    topics.find(({ troubles }) => troubles.includes(trouble))
  );
}

function newTopic(trouble: Trouble, sinceMs: number, cause: string | null, id: number): Topic {
  return {
    ...{ id, cause, sinceMs, troubles: [trouble], priority: priorityOf(trouble) },
    ...{ goneMs: null, closed: false, again: 0, inMorning: false },
    ...{ told: 0, toldMs: null, toldTroubles: [], toldOffK: 0 },
  };
}

/** A topic that comes again after it was over. */
const reopened = (topic: Topic, sinceMs: number): Topic => ({
  ...topic,
  ...{ sinceMs, goneMs: null, closed: false, again: topic.again + 1, inMorning: false },
  ...{ told: 0, toldMs: null, toldTroubles: [], toldOffK: 0 },
});

function joined(topic: Topic, trouble: Trouble, causes: Causes): Topic {
  const priority = priorityOf(trouble);
  return {
    ...topic,
    cause: causes[trouble] ?? topic.cause,
    troubles: topic.troubles.includes(trouble) ? topic.troubles : [...topic.troubles, trouble],
    priority: rankOf(priority) < rankOf(topic.priority) ? priority : topic.priority,
  };
}

const replaced = (topics: readonly Topic[], by: Topic): readonly Topic[] =>
  topics.some(({ id }) => id === by.id)
    ? topics.map((one) => (one.id === by.id ? by : one))
    : [...topics, by];

/** Topics with everything that stands in one of them. */
export function gathered(
  topics: readonly Topic[],
  standing: readonly Standing[],
  causes: Causes,
  next: NextNumber,
): readonly Topic[] {
  return standing.reduce<readonly Topic[]>((all, { trouble, sinceMs }) => {
    const place = placeOf(all, trouble, causes);
    if (place === undefined) {
      return replaced(all, newTopic(trouble, sinceMs, causes[trouble] ?? null, next()));
    }
    const open = place.closed ? reopened(place, sinceMs) : place;
    return replaced(all, joined(open, trouble, causes));
  }, topics);
}

/**
 * The same with what the journal says was raised meanwhile and is over: what was told already, or stands, is no news.
 */
export function withRaised(
  topics: readonly Topic[],
  raised: readonly Raised[],
  causes: Causes,
  nowMs: number,
  next: NextNumber,
): readonly Topic[] {
  return raised.reduce<readonly Topic[]>((all, { alarm, atMs }) => {
    const place = placeOf(all, alarm, causes);
    if (place === undefined) {
      const fresh = newTopic(alarm, atMs, causes[alarm] ?? null, next());
      return replaced(all, { ...fresh, goneMs: nowMs });
    }
    if (!place.closed) return replaced(all, joined(place, alarm, causes));
    const wasTold = atMs <= (place.goneMs ?? 0) + MESSAGE_LIMITS.sameRaiseMs;
    if (wasTold) return all;
    return replaced(all, { ...reopened(place, atMs), goneMs: nowMs });
  }, topics);
}

/** How long it must be over before that is told. */
function overAfterMs({ again }: Topic): number {
  const { overMs, overGrows, overMostMs } = MESSAGE_LIMITS;
  return Math.min(overMostMs, overMs * overGrows ** again);
}

/** Pause after so many messages of one topic. */
function repeatAfterMs(told: number): number {
  const { repeatMs } = MESSAGE_LIMITS;
  return repeatMs[Math.min(told, repeatMs.length) - 1] ?? 0;
}

const offOf = (standing: readonly Standing[]): number =>
  Math.max(0, ...standing.map(({ offK }) => offK));

/** What is due of a topic of which something stands; null: nothing. */
function dueWhileStanding(
  topic: Topic,
  standing: readonly Standing[],
  nowMs: number,
): DueKind | null {
  if (topic.priority === 'low') return null;
  if (topic.toldMs === null) return topic.again > 0 ? 'again' : 'new';
  const sinceToldMs = nowMs - topic.toldMs;
  const { worseK, worseEveryMs } = MESSAGE_LIMITS;
  const more = standing.filter(({ trouble }) => !topic.toldTroubles.includes(trouble));
  if (more.some(({ trouble }) => priorityOf(trouble) === 'high')) return 'worse';
  const isWorse = more.length > 0 || offOf(standing) >= topic.toldOffK + worseK;
  if (isWorse && sinceToldMs >= worseEveryMs) return 'worse';
  const asks = standing.some(({ trouble, seen }) => !seen && priorityOf(trouble) === 'high');
  return asks && sinceToldMs >= repeatAfterMs(topic.told) ? 'still' : null;
}

function dueWhenGone(topic: Topic, nowMs: number): DueKind | 'close' | null {
  const goneMs = topic.goneMs ?? nowMs;
  if (topic.toldMs === null && topic.priority !== 'low') return 'happened';
  if (nowMs - goneMs < overAfterMs(topic)) return null;
  return topic.toldMs === null ? 'close' : 'over';
}

/** A topic as it is from now on, and what is due of it. */
export interface Advanced {
  readonly topic: Topic;
  readonly kind: DueKind | null;
  readonly standing: readonly Standing[];
}

/** `standing`: everything that stands at the tray. */
export function advanced(topic: Topic, standing: readonly Standing[], nowMs: number): Advanced {
  const mine = standing.filter(({ trouble }) => topic.troubles.includes(trouble));
  if (topic.closed) return { topic, kind: null, standing: mine };
  if (mine.length > 0) {
    const kind = dueWhileStanding(topic, mine, nowMs);
    const now = { ...topic, goneMs: null };
    return { topic: kind === null ? now : told(now, mine, nowMs), kind, standing: mine };
  }
  const gone = { ...topic, goneMs: topic.goneMs ?? nowMs };
  const kind = dueWhenGone(gone, nowMs);
  if (kind === null) return { topic: gone, kind, standing: mine };
  const closed = { ...gone, closed: true };
  if (kind === 'close') return { topic: closed, kind: null, standing: mine };
  return { topic: told(closed, mine, nowMs), kind, standing: mine };
}

function told(topic: Topic, standing: readonly Standing[], nowMs: number): Topic {
  const more = standing.map(({ trouble }) => trouble);
  return {
    ...topic,
    told: topic.told + 1,
    toldMs: nowMs,
    toldTroubles: [...new Set([...topic.toldTroubles, ...more])],
    toldOffK: Math.max(topic.toldOffK, offOf(standing)),
  };
}

/** Whether nothing has to be remembered of it any more. */
export function isForgotten({ closed, goneMs, inMorning }: Topic, nowMs: number): boolean {
  if (!closed || goneMs === null) return false;
  const agoMs = nowMs - goneMs;
  const { forgetMs, dayMs } = MESSAGE_LIMITS;
  return agoMs > 2 * dayMs || (inMorning && agoMs > forgetMs);
}
