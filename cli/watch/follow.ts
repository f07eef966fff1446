/**
 * Readings one after another for as long as somebody looks, across restarts of the controller and
 * cuts of the line. Only what no waiting can mend ends it.
 */
import { setTimeout as delay } from 'node:timers/promises';
import type { Status } from '../../shared/link/status';
import type { Context } from '../context';
import { type Client, LinkError, type LinkErrorKind } from '../link/client';

/** What a watch sees, in the order it sees it: a reading may be late, and a line is lost, then back. */
export type Sight =
  | { readonly kind: 'reading'; readonly status: Status }
  | { readonly kind: 'late' }
  | { readonly kind: 'lost'; readonly reason: LinkErrorKind; readonly retryMs: number }
  | { readonly kind: 'back'; readonly boot: number; readonly restarted: boolean };

const EVERY_MS = 1_000;
/** An answer that takes longer than this is worth a word; usual is a hundredth of it. */
const LATE_MS = 1_500;
/**
 * Pauses between tries to reach the controller again: at first as quick as a board starts, in the end
 * seldom enough that neither a serial server nor a journal of connections minds.
 */
const RETRY_MS = [250, 1_000, 2_000, 4_000, 8_000, 10_000] as const;
const RETRY_LONGEST_MS = 10_000;

/** What waiting and trying again may mend. */
const PASSING: readonly LinkErrorKind[] = [
  ...(['restarted', 'lost', 'silent', 'absent', 'in-use'] as const),
  // A port that has just been plugged in belongs to root for a moment, and a board that starts may babble.
  ...(['denied', 'not-ours'] as const),
];

/** Why the line is lost, or the error itself when it will not come back by waiting. */
function passing(error: unknown): LinkErrorKind {
  if (error instanceof LinkError && PASSING.includes(error.kind)) return error.kind;
  throw error;
}

/** Tries until the controller answers again. `lastUptimeMs`: how long it had been running when last heard. */
async function* reachAgain(
  context: Context,
  before: Client,
  lastUptimeMs: number,
  why: LinkErrorKind,
) {
  let reason = why;
  for (let tries = 0; ; tries++) {
    const retryMs = RETRY_MS[tries] ?? RETRY_LONGEST_MS;
    yield { kind: 'lost', reason, retryMs } as const;
    await context.world.pause(retryMs);
    try {
      const client = await context.reconnect();
      const { boot, uptimeMs } = client.hello;
      const restarted = boot !== before.hello.boot || uptimeMs < lastUptimeMs;
      yield { kind: 'back', boot, restarted } as const;
      return client;
    } catch (error) {
      reason = passing(error);
    }
  }
}

/** Readings without end. Throws `LinkError` when there is no first one, or no way to another. */
export async function* follow(context: Context): AsyncGenerator<Sight, never> {
  let client = await context.client();
  let { uptimeMs } = client.hello;
  for (;;) {
    const asked = client.call('status.read', {});
    try {
      const late = await Promise.race([
        asked.then(() => false),
        delay(LATE_MS, true, { ref: false }),
      ]);
      if (late) yield { kind: 'late' };
      const status = await asked;
      uptimeMs = status.uptimeMs;
      yield { kind: 'reading', status };
    } catch (error) {
      client = yield* reachAgain(context, client, uptimeMs, passing(error));
      continue;
    }
    await context.world.pause(EVERY_MS);
  }
}
