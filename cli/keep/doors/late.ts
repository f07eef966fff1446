/** What a message says that leaves long after it was written. */
import { localTime } from '../../terminal/local-time';
import { DOOR_LIMITS } from '../limits';
import type { Message } from '../outbox/state';

/** Empty where it leaves in time. */
export function lateText({ madeMs }: Message, nowMs: number): string {
  if (nowMs - madeMs < DOOR_LIMITS.lateMs) return '';
  return `\nThis comes late: it was written at ${localTime(madeMs).slice(0, 16)}, and could not leave before.\n`;
}
