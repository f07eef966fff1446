/** A room as its first page: what wants somebody, and how the keeper itself does. Pure but for the zone of time. */
import { dayTime } from '../../../explain/show';
import { localTime } from '../../../terminal/local-time';
import type { DoorState } from '../../postman';
import type { PlainWord, TrayLine } from './tray';

/** What a keeper knows of itself. */
export interface KeeperNow {
  /** The system's code, where the outbox cannot be written. */
  readonly diskFailing: string | null;
  readonly doors: readonly DoorState[];
}

/** Trays of one word. */
export interface Wanted {
  readonly word: Exclude<PlainWord, 'well'>;
  readonly trays: readonly string[];
}

export interface RoomHead {
  /** `All 3 trays are well.` */
  readonly says: string;
  /** What is urgent first; trays themselves keep their places, so that nothing moves under a finger. */
  readonly wanted: readonly Wanted[];
  /** What is wrong with the keeper. */
  readonly keeper: readonly string[];
  /** Time of day by which all is told. */
  readonly at: string;
}

export function roomHead(
  lines: readonly TrayLine[],
  keeper: KeeperNow | null,
  nowMs: number,
): RoomHead {
  const of = (word: PlainWord): readonly string[] =>
    lines.filter((line) => line.word === word).map(({ name }) => name);
  const wanted = (['now', 'look'] as const)
    .map((word) => ({ word, trays: of(word) }))
    .filter(({ trays }) => trays.length > 0);
  return {
    says: saysOf(lines.length, of('now').length, of('look').length),
    wanted,
    keeper: keeper === null ? [] : troublesOf(keeper, nowMs),
    at: localTime(nowMs).slice(11, 16),
  };
}

function saysOf(all: number, now: number, look: number): string {
  const trays = (count: number): string => `${count} tray${count === 1 ? '' : 's'}`;
  if (now + look === 0) return all === 1 ? 'The tray is well.' : `All ${all} trays are well.`;
  const parts = [
    ...(now > 0 ? [`${trays(now)} now`] : []),
    ...(look > 0 ? [`${trays(look)} to look at`] : []),
    ...(all > now + look ? [`${all - now - look} well`] : []),
  ];
  return `${parts.join(', ')}.`;
}

function troublesOf({ diskFailing, doors }: KeeperNow, nowMs: number): readonly string[] {
  return [
    ...(diskFailing === null
      ? []
      : [`The disk of the keeper is full or broken (${diskFailing}): messages may be lost.`]),
    ...doors.flatMap(({ door, failingSinceMs, why }) =>
      failingSinceMs === null
        ? []
        : [`No message goes out by ${door} since ${dayTime(failingSinceMs, nowMs)}: ${why ?? ''}`],
    ),
  ];
}
