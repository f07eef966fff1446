/** `fleet collect`: one session after the other, with pauses while broker or database are away. */
import { hostname } from 'node:os';
import type { Answer, Context } from '../../context';
import { toldToStop } from '../../keep/stop';
import { localTime } from '../../terminal/local-time';
import { BrokerError } from '../broker/refusal';
import { DatabaseError } from '../database/connect';
import { fleetFailure } from '../failure';
import { COLLECT_LIMITS } from '../limits';
import type { FleetPlan } from '../plan';
import type { Counts } from './lane';
import { Session, type SessionParts } from './session';

export interface CollectOptions {
  /** Of this collector, among those of its group; null: that of this computer. */
  readonly name: string | null;
  readonly untilStdinCloses: boolean;
}

/** A name as a broker and a database show it. */
const ownName = (): string =>
  hostname()
    .toLowerCase()
    .replace(/[^a-z0-9-]/g, '-')
    .slice(0, 40);

/** Collects until Ctrl-C, SIGTERM, or the end of standard input where that is wanted. */
export async function collect(
  context: Context,
  plan: FleetPlan,
  options: CollectOptions,
): Promise<Answer> {
  const { world, json } = context;
  const name = options.name ?? ownName();
  const counts: Counts = { entries: 0, known: 0, refused: 0 };
  const say = (text: string): void => {
    if (!context.quiet) world.stderr.write(`${localTime(world.now())}  ${text}\n`);
  };
  let isStopping = false;
  const told = toldToStop(context, options.untilStdinCloses).then(() => {
    isStopping = true;
  });
  const begun = (): void => {
    const started = { event: 'started', name, group: plan.group, pid: process.pid };
    const text = `Collecting as ${name} of ${plan.group} from ${plan.broker.url}. Ctrl-C ends it; what comes meanwhile waits at the broker and the keepers.`;
    world.stdout.write(json ? `${JSON.stringify({ ok: true, result: started })}\n` : `${text}\n`);
  };
  await sessions(
    { plan, name, counts, now: () => world.now(), say },
    told,
    () => isStopping,
    begun,
  );
  const { entries, known, refused } = counts;
  return {
    result: { event: 'stopped', ...counts },
    text: `Stopped. ${entries} entries are in the database by this collector; ${known} came again, and ${refused} messages were left out.`,
  };
}

/** Throws `CommandError` for what will not be well by waiting. */
async function sessions(
  parts: SessionParts,
  told: Promise<void>,
  isStopping: () => boolean,
  begun: () => void,
): Promise<void> {
  let tries = 0;
  let hasBegun = false;
  while (!isStopping()) {
    const sinceMs = performance.now();
    try {
      const session = await Session.open(parts);
      if (!hasBegun) begun();
      else if (tries > 0) parts.say('Collecting again.');
      hasBegun = true;
      const why = await Promise.race([session.lost, told]);
      await session.close();
      if (why === undefined) return;
      throw why;
    } catch (error) {
      if (!(error instanceof BrokerError || error instanceof DatabaseError)) throw error;
      if (error.kind === 'refused') throw fleetFailure(error);
      const { retryMs, wellMs } = COLLECT_LIMITS;
      const wasWell = performance.now() - sinceMs > wellMs;
      tries = wasWell ? 1 : tries + 1;
      const waitMs = retryMs[Math.min(tries, retryMs.length) - 1] ?? 0;
      parts.say(
        `${error.message} Tried again in ${waitMs / 1000} s; nothing is acknowledged meanwhile.`,
      );
      await Promise.race([told, new Promise((resolve) => setTimeout(resolve, waitMs))]);
    }
  }
}
