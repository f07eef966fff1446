/** Who gets a message, by which door and from when on; and what need not be sent any more because of it. Pure. */

import { DAY_MIN } from '../../shared/units/time';
import type { Tell } from './config/plan';
import type { Hours } from './config/schema';
import type { Delivery, Message } from './outbox/state';

/** Whether somebody is told of a message at all. */
export function hears({ what, trays }: Tell, { kind, priority, tray }: Message): boolean {
  if (kind === 'test') return true;
  const isMine = tray === null || trays === null || trays.includes(tray);
  switch (what) {
    case 'all':
      return isMine;
    case 'alarms':
      return isMine && kind !== 'morning';
    case 'urgent':
      return isMine && kind !== 'morning' && priority === 'high';
    case 'morning':
      return kind === 'morning';
  }
}

/** The end of quiet hours, where `nowMs` lies in them; else `nowMs`. */
export function afterQuiet(quiet: Hours | null, nowMs: number): number {
  if (quiet === null || quiet.from === quiet.to) return nowMs;
  const now = new Date(nowMs);
  const minute = now.getHours() * 60 + now.getMinutes();
  const intoMin = (minute - quiet.from + DAY_MIN) % DAY_MIN;
  const lengthMin = (quiet.to - quiet.from + DAY_MIN) % DAY_MIN;
  if (intoMin >= lengthMin) return nowMs;
  const day = minute < quiet.to ? now.getDate() : now.getDate() + 1;
  return new Date(now.getFullYear(), now.getMonth(), day, 0, quiet.to).getTime();
}

/** Only what is urgent is told in quiet hours, and what somebody has asked for. */
function notBefore({ quiet }: Tell, { priority, kind }: Message, nowMs: number): number {
  return priority === 'high' || kind === 'test' || kind === 'morning'
    ? nowMs
    : afterQuiet(quiet, nowMs);
}

/** The deliveries of a message; none by the door `failing`, which it is about. */
export function deliveriesOf(
  message: Message,
  tells: readonly Tell[],
  nowMs: number,
  failing: string | null = null,
): readonly Delivery[] {
  return tells
    .filter((tell) => hears(tell, message) && tell.door !== failing)
    .map((tell) => ({
      id: `${message.id}/${tell.id}`,
      message,
      tell: tell.id,
      notBeforeMs: notBefore(tell, message, nowMs),
    }));
}

/**
 * Ids of what `added` makes needless: an older reminder of the same topic; and, once it is over, what waited for the end
 * of quiet hours. An alarm that was to be sent at once is never among them.
 */
export function madeNeedless(
  pending: readonly Delivery[],
  added: readonly Delivery[],
  nowMs: number,
): readonly string[] {
  return added.flatMap(({ tell, message }) =>
    pending
      .filter((old) => old.tell === tell && isNeedless(old, message, nowMs))
      .map(({ id }) => id),
  );
}

function isNeedless({ message: old, notBeforeMs }: Delivery, by: Message, nowMs: number): boolean {
  if (by.kind === 'morning') return old.kind === 'morning';
  if (by.topic === null || old.topic !== by.topic) return false;
  if (old.kind === 'still') return true;
  return by.kind === 'over' && notBeforeMs > nowMs;
}
