/**
 * Calls to one board in one of its boots, repeated until they are answered. A call is repeated only
 * when the board still knows what it answered before: the tokens it remembers, and with them the
 * safety of repeating, end when it restarts. So before each repetition, after a pause, and when a cut
 * line has come back, the board is asked who it is.
 */
import { setTimeout as delay } from 'node:timers/promises';
import type { Hello, MethodName } from '../../shared/link/methods';
import { takesToken } from '../../shared/link/params';
import { LinkError } from './client';
import { type Exchange, Missed, type Reply } from './exchange';
import { handshake } from './handshake';
import type { LinkTiming } from './limits';
import type { NextId } from './request';

/** A request, the same line each time it is sent. */
export interface Request {
  readonly id: number;
  readonly method: MethodName;
  readonly line: Uint8Array;
}

export interface RetryingLine {
  /** The reply, however often it takes to ask. Throws `LinkError` `restarted`, `lost`, `silent`. */
  ask(request: Request): Promise<Reply>;
  close(): Promise<void>;
}

export interface RetryOptions {
  readonly port: string;
  readonly timing: LinkTiming;
  readonly nextId: NextId;
  /** Monotonic time as the board lives it, ms: what passes on a bench in a moment of ours counts in full. */
  readonly elapsedMs: () => number;
  /** Opens the port anew. Throws `LinkError`. */
  readonly open: () => Promise<Exchange>;
}

/** What has become of a request, for people. */
function fateOf({ method }: Request, sent: boolean): string {
  if (!sent) return `${method} was not sent to it any more.`;
  return takesToken(method)
    ? `Whether ${method} was still done cannot be told from here.`
    : `${method} changed nothing.`;
}

function restarted(port: string, before: Hello, now: Hello, fate: string): LinkError {
  const s = Math.round(now.uptimeMs / 1000);
  return new LinkError(
    'restarted',
    `The controller at ${port} restarted during the command: it was in its start number ${before.boot}, and is ${s} s into number ${now.boot}. A measurement, a pump run or a profile that was on its way ended there; what was finished stays. ${fate}`,
  );
}

function stopped(port: string, request: Request, times: number): LinkError {
  return new LinkError(
    'silent',
    `The controller at ${port} stopped answering during the command: ${request.method} was sent ${times === 1 ? 'once' : `${times} times`}, it was asked who it is, and nothing sound came back. ${fateOf(request, true)}`,
  );
}

function lost(port: string, timing: LinkTiming, request: Request, last: LinkError): LinkError {
  return new LinkError(
    'lost',
    `The line to ${port} was cut during the command, and for ${timing.reopenMs / 1000} s it did not come back. ${last.message} ${fateOf(request, true)}`,
  );
}

/** Whether `now` is a later moment of the same boot. */
const sameBoot = (before: Hello, now: Hello): boolean =>
  now.boot === before.boot && now.uptimeMs >= before.uptimeMs;

/** Takes over an exchange on which the board has just said `hello`. */
export function createRetryingLine(
  first: Exchange,
  hello: Hello,
  { port, timing, nextId, elapsedMs, open }: RetryOptions,
): RetryingLine {
  let exchange = first;
  let known = hello;
  let heardMs = elapsedMs();
  let asking = 0;
  let closing = false;
  let recognising: Promise<Hello> | null = null;
  let reopening: Promise<Exchange> | null = null;

  /** Throws unless `now` is what we have been talking to. */
  function recognise(now: Hello, fate: string): void {
    if (!sameBoot(known, now)) throw restarted(port, known, now, fate);
    known = now;
    heardMs = elapsedMs();
  }

  /** Makes sure of the board before `request` is sent, for the first time or again. */
  async function makeSure(request: Request, sent: number): Promise<void> {
    const asked = exchange;
    let now: Hello;
    try {
      recognising ??= handshake(port, asked, timing, nextId).finally(() => {
        recognising = null;
      });
      now = await recognising;
    } catch (error) {
      // The next attempt to send finds the line cut, and opens it anew.
      if (!asked.isOpen) return;
      const heardNothing =
        error instanceof LinkError && (error.kind === 'silent' || error.kind === 'not-ours');
      throw heardNothing ? stopped(port, request, sent) : error;
    }
    recognise(now, fateOf(request, sent > 0));
  }

  /** One try to reach the same board over a new line. Throws `LinkError`. */
  async function reachAgain(fate: string): Promise<Exchange> {
    const again = await open();
    try {
      const now = await handshake(port, again, timing, nextId);
      if (now.boardId !== known.boardId) {
        throw new LinkError('not-ours', `Another controller, ${now.boardId}, answers there now.`);
      }
      recognise(now, fate);
      return again;
    } catch (error) {
      await again.close();
      throw error;
    }
  }

  async function reopen(request: Request): Promise<Exchange> {
    const endMs = performance.now() + timing.reopenMs;
    for (;;) {
      await delay(timing.reopenEveryMs);
      try {
        return await reachAgain(fateOf(request, true));
      } catch (error) {
        if (!(error instanceof LinkError) || error.kind === 'restarted') throw error;
        if (closing || performance.now() >= endMs) throw lost(port, timing, request, error);
      }
    }
  }

  /** After `cut` has closed: waits until there is a line to the same board again. */
  async function comeBack(cut: Exchange, request: Request): Promise<void> {
    if (exchange !== cut) return;
    reopening ??= reopen(request).finally(() => {
      reopening = null;
    });
    exchange = await reopening;
    if (closing) await exchange.close();
  }

  async function askUntilAnswered(request: Request): Promise<Reply> {
    let silent = 0;
    let cuts = 0;
    for (let sent = 1; ; sent++) {
      const asked = exchange;
      try {
        return await asked.ask(request.id, request.line);
      } catch (error) {
        if (!(error instanceof Missed)) throw error;
        if (error.how === 'silent') silent++;
        if (error.how === 'closed') cuts++;
        if (silent >= timing.silentAttempts || sent >= timing.damagedAttempts) {
          throw stopped(port, request, sent);
        }
        if (cuts > 1) {
          const again = new LinkError('lost', 'It came back once, and was cut again.');
          throw lost(port, timing, request, again);
        }
        if (error.how === 'closed') await comeBack(asked, request);
        else await makeSure(request, sent);
      }
    }
  }

  return {
    async ask(request) {
      const quiet = asking === 0 && elapsedMs() - heardMs > timing.quietMs;
      asking++;
      try {
        if (quiet) await makeSure(request, 0);
        return await askUntilAnswered(request);
      } finally {
        asking--;
        heardMs = elapsedMs();
      }
    },
    async close() {
      closing = true;
      await exchange.close();
    },
  };
}
