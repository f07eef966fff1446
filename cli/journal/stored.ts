/** Which stored journal a command is about, and what its grower must know of it. */
import { CONTROLLER_ID } from '../arguments/controller';
import type { Moment } from '../arguments/moment';
import { invalid, refused, usage } from '../failure';
import { localTime } from '../terminal/local-time';
import { storedControllers } from './store';

/** The controller whose journal is asked for, or the one pulled last. Refused when none of it is kept. */
export function controllerOf(asked: string | null, store: string): string {
  const kept = storedControllers(store).map(({ boardId }) => boardId);
  if (asked !== null && !CONTROLLER_ID.test(asked)) {
    const known = kept.length === 0 ? '' : ` A journal is kept here of ${kept.join(', ')}.`;
    throw invalid(
      'not-a-controller',
      `"${asked}" is no controller.`,
      `Give its sixteen hex digits.${known}`,
    );
  }
  const boardId = asked ?? kept[0];
  if (boardId !== undefined && kept.includes(boardId)) return boardId;
  throw refused(
    'nothing-stored',
    `No journal${asked === null ? '' : ` of controller ${asked}`} is kept in ${store}.`,
    kept.length === 0
      ? 'Do `trayward journal pull` first.'
      : `There is that of ${kept.join(', ')}. \`trayward journal pull\` fetches another one.`,
  );
}

/** What a disk has spoilt is never left out silently: it may be the entry that somebody looks for. */
export function damagedText(count: number, store: string): string {
  const what = count === 1 ? '1 entry' : `${count} entries`;
  return `${what} in ${store} cannot be read any more and ${count === 1 ? 'is' : 'are'} left out: this disk has changed ${count === 1 ? 'it' : 'them'}. What the controller still holds can be fetched anew: trayward journal pull --store FOLDER`;
}

/** Both ends of what is asked for, as typed. */
export interface Period {
  readonly since: Moment | null;
  readonly until: Moment | null;
}

/** Refuses a time that ends before it begins, before any store is looked for. */
export function refuseBackwards(options: Period, nowMs: number): void {
  const since = options.since?.(nowMs) ?? null;
  const until = options.until?.(nowMs) ?? null;
  if (since === null || until === null || since <= until) return;
  throw usage(
    `Nothing lies between: --since ${localTime(since)} is after --until ${localTime(until)}.`,
    'Give the earlier one with --since.',
  );
}
