/** What the steps of `board check` are done with. */
import type { Context, Units } from '../context';
import type { Client } from '../link/client';

/** What stands beside the board. */
export interface Setup {
  readonly weightG: number | null;
  readonly cellG: number;
  /** Ice is at hand. */
  readonly ice: boolean;
  /** Water and heat need no word of somebody at the terminal. */
  readonly sure: boolean;
}

/** The board, and who tries it. */
export interface Trial {
  readonly context: Context;
  readonly client: Client;
  readonly setup: Setup;
  readonly units: Units;
}

const POLL_MS = 1000;

/** Looks once a second until there is something to tell, for `limitMs` at most; null when there never was. */
export async function seenWithin<Seen>(
  { context }: Trial,
  limitMs: number,
  look: (waitedMs: number) => Promise<Seen | null>,
): Promise<Seen | null> {
  for (let waitedMs = 0; waitedMs <= limitMs; waitedMs += POLL_MS) {
    const seen = await look(waitedMs);
    if (seen !== null) return seen;
    await context.world.sleep(POLL_MS);
  }
  return null;
}

/** True where somebody says so, or need not; null where nobody is there to say it. */
export async function agreed({ context, setup }: Trial, question: string): Promise<boolean | null> {
  if (setup.sure) return true;
  return context.ask.possible ? context.ask.confirm(question) : null;
}

export async function isSupplyWrong({ client }: Trial): Promise<boolean> {
  const { alarms } = await client.call('alarm.list', {});
  return alarms.some(({ alarm, state }) => alarm === 'supply-wrong' && state !== 'normal');
}
