/** What the steps of `board check` are done with. */
import type { AlarmState } from '../../shared/alarms/catalogue';
import { MAT_OPEN } from '../../shared/board/words';
import { MINUTE_MS } from '../../shared/units/time';
import type { Context, Units } from '../context';
import type { Client } from '../link/client';
import { POLL_MS } from './limits';

/** What stands beside the board. */
export interface Setup {
  readonly weightG: number | null;
  readonly cellG: number;
  /** Ice is at hand. */
  readonly ice: boolean;
  /** Water and heat need no word of somebody at the terminal. */
  readonly sure: boolean;
  /** The port that leads to the board's other door; null: the one found. */
  readonly uartPort: string | null;
}

/** The board, and who tries it. */
export interface Trial {
  readonly context: Context;
  readonly client: Client;
  readonly setup: Setup;
  readonly units: Units;
}

/** How long a person may take for what is asked of them. */
export const HANDS_MS = 180_000;
/** Hands off, and nothing swings any more. */
const SETTLE_MS = 20_000;
/** Said with each wish. */
export const WAITS = `It notices by itself, and waits for ${HANDS_MS / MINUTE_MS} minutes.`;
export const UNSEEN = 'Not seen. Going on.';

/** Waits until nothing swings any more, and says so. */
export async function settle({ context }: Trial): Promise<void> {
  context.say(`Hands off: it is weighed in ${SETTLE_MS / 1000} seconds.`);
  await context.world.sleep(SETTLE_MS);
}

/** Asks for a bare scale, and waits for the word of a person that it is one. */
export async function cleared({ context, setup }: Trial): Promise<void> {
  context.instruct('Take everything off the scale: tray, jug and weights.');
  if (context.ask.possible && !setup.sure) await context.ask.pause('It must be empty.');
}

/** Somebody has ended the check. */
export class Stopped extends Error {
  override readonly name = 'Stopped';
}

/** Looks until there is something to tell, once a second of waiting, for `limitMs` of it; null when there never was. */
export async function seenWithin<Seen>(
  { context }: Trial,
  limitMs: number,
  look: (waitedMs: number) => Promise<Seen | null>,
): Promise<Seen | null> {
  for (let waitedMs = 0; waitedMs <= limitMs; waitedMs += POLL_MS) {
    if (context.world.interrupt.aborted) throw new Stopped();
    const seen = await look(waitedMs);
    if (seen !== null) return seen;
    await context.world.sleep(POLL_MS);
  }
  return null;
}

/** The same for what needs no hand: shows `label`, and for how long of how long it is waited for. */
export async function awaited<Seen>(
  trial: Trial,
  label: string,
  limitMs: number,
  look: () => Promise<Seen | null>,
): Promise<Seen | null> {
  const progress = await trial.context.progress(label, limitMs / 1000);
  try {
    return await seenWithin(trial, limitMs, (waitedMs) => {
      progress.update(waitedMs / 1000);
      return look();
    });
  } finally {
    progress.stop();
  }
}

/** True where somebody says so, or need not; null where nobody is there to say it. */
export async function agreed({ context, setup }: Trial, question: string): Promise<boolean | null> {
  if (setup.sure) return true;
  return context.ask.possible ? context.ask.confirm(question) : null;
}

/** What the board says of the supplies behind the second switches: dead when asked for, live when not; null: nothing. */
export async function supplySaid({ client }: Trial): Promise<'dead' | 'live' | null> {
  const { alarms } = await client.call('alarm.list', {});
  const wrong = alarms.find(({ alarm }) => alarm === 'supply-wrong');
  if (wrong === undefined || !STANDING.includes(wrong.state)) return null;
  return wrong.value === 1 ? 'live' : 'dead';
}

/** Where a mat that was asked for gets no current; or, welded, that its own switch passes although it is off. */
export type MatTrouble = 'dead' | keyof typeof MAT_OPEN | 'welded';

/** What the board says of the way from the supply through the mat; null: nothing. */
export async function matTroubleSaid(trial: Trial): Promise<MatTrouble | null> {
  const { alarms } = await trial.client.call('alarm.list', {});
  if (alarms.some(({ alarm, state }) => alarm === 'mat-stuck-on' && state !== 'normal'))
    return 'welded';
  if ((await supplySaid(trial)) === 'dead') return 'dead';
  const open = alarms.find(({ alarm }) => alarm === 'mat-open');
  if (open === undefined || !STANDING.includes(open.state)) return null;
  return PLACES.find((place) => MAT_OPEN[place] === open.value) ?? null;
}

const PLACES = ['fuse', 'lead', 'switch', 'cutOut'] as const satisfies readonly MatTrouble[];
const STANDING: readonly AlarmState[] = ['unaccepted', 'accepted'];
