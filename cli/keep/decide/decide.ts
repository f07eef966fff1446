/** Which messages are due: what was told, how the trays stand, and the time, to messages and what was told. Pure. */
import { MESSAGE_LIMITS } from '../limits';
import {
  type Decision,
  type Due,
  type Memory,
  NEW_TRAY,
  type Standing,
  type Topic,
  type TrayMemory,
  type TrayView,
} from './model';
import { advanced, gathered, isForgotten, type NextNumber, withRaised } from './topics';

export interface Rules {
  /** Minute of the local day of the morning line. */
  readonly morningMin: number;
}

/**
 * Decides at `nowMs`, Unix ms. Trays that have no view are left as they are. The memory that comes back has to be kept
 * with the messages, both or neither: asked again with it at the same time, nothing is due.
 */
export function decide(
  memory: Memory,
  views: readonly TrayView[],
  rules: Rules,
  nowMs: number,
): Decision {
  let count = memory.count;
  const next: NextNumber = () => ++count;
  const due: Due[] = [];
  const isMorning = morningDue(memory.morningMs, rules.morningMin, nowMs);
  const trays: Record<string, TrayMemory> = { ...memory.trays };
  for (const view of views) {
    const before = memory.trays[view.tray] ?? NEW_TRAY;
    const after = trayAfter(before, view, nowMs, next);
    due.push(...after.due);
    const topics = (isMorning ? after.topics.map(toldInMorning) : after.topics).filter(
      (topic) => !isForgotten(topic, nowMs),
    );
    if (!isNews(before, view, topics)) continue;
    trays[view.tray] = { cursor: view.cursor ?? before.cursor, topics };
  }
  const morningMs = isMorning ? nowMs : memory.morningMs;
  return { memory: { ...memory, count, morningMs, trays }, due, morning: isMorning };
}

/**
 * Whether there is anything to remember. That the journal was looked through without finding an alarm is not: it is
 * looked through again from where it was, and each memory costs a write to the disk.
 */
function isNews(before: TrayMemory, view: TrayView, topics: readonly Topic[]): boolean {
  return (
    view.raised.length > 0 ||
    (before.cursor === null && view.cursor !== null) ||
    JSON.stringify(topics) !== JSON.stringify(before.topics)
  );
}

const toldInMorning = (topic: Topic): Topic =>
  topic.closed ? { ...topic, inMorning: true } : topic;

interface TrayAfter {
  readonly topics: readonly Topic[];
  readonly due: readonly Due[];
}

function trayAfter(before: TrayMemory, view: TrayView, nowMs: number, next: NextNumber): TrayAfter {
  const { causeOf, raised } = view;
  const known = knownNow(view);
  const open = gathered(before.topics, known.standing, causeOf, next);
  const topics = withRaised(open, raised, causeOf, nowMs, next);
  const due: Due[] = [];
  const after = topics.map((topic) => {
    if (!known.isKnown(topic)) return topic;
    const { topic: now, kind, standing } = advanced(topic, known.standing, nowMs);
    if (kind !== null) due.push({ number: next(), kind, tray: view.tray, topic: now, standing });
    return now;
  });
  return { topics: after, due };
}

interface Known {
  readonly standing: readonly Standing[];
  /** Whether it can be told how a topic stands: of a tray that is silent nobody knows more than that. */
  readonly isKnown: (topic: Topic) => boolean;
}

function knownNow({ standing, unheardSinceMs }: TrayView): Known {
  if (standing !== null) return { standing, isKnown: () => true };
  const isSilence = ({ troubles }: Topic): boolean => troubles.includes('unheard');
  if (unheardSinceMs === null) return { standing: [], isKnown: () => false };
  const silence = { trouble: 'unheard', sinceMs: unheardSinceMs, seen: false, offK: 0 } as const;
  return { standing: [silence], isKnown: isSilence };
}

/** Whether the minute `morningMin` of a local day lies between the last morning line and now. */
export function morningDue(lastMs: number, morningMin: number, nowMs: number): boolean {
  const now = new Date(nowMs);
  const at = (dayOffset: number): number =>
    new Date(now.getFullYear(), now.getMonth(), now.getDate() + dayOffset, 0, morningMin).getTime();
  const todayMs = at(0);
  const dueMs = todayMs <= nowMs ? todayMs : at(-1);
  return lastMs < dueMs && nowMs - dueMs <= MESSAGE_LIMITS.morningLateMs;
}

/** The memory with all its times moved by `byMs`: this computer's clock was set, and pauses go on as they were. */
export function moved(memory: Memory, byMs: number): Memory {
  const by = (ms: number | null): number | null => (ms === null ? null : ms + byMs);
  const topicBy = (topic: Topic): Topic => ({
    ...topic,
    sinceMs: topic.sinceMs + byMs,
    goneMs: by(topic.goneMs),
    toldMs: by(topic.toldMs),
  });
  return {
    ...memory,
    morningMs: memory.morningMs + byMs,
    trays: Object.fromEntries(
      Object.entries(memory.trays).map(([name, tray]) => [
        name,
        { ...tray, topics: tray.topics.map(topicBy) },
      ]),
    ),
  };
}
