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
import { type Exchange, Missed } from './exchange';
import { handshake } from './handshake';
import type { LinkTiming } from './limits';
import type { Reply } from './message';
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
  if (!sent) return 'The next thing was not asked of it any more.';
  return takesToken(method)
    ? 'Whether it still did what it was last told to cannot be known from here.'
    : 'It was only asked something: that changes nothing.';
}

function restarted(port: string, before: Hello, now: Hello, fate: string): LinkError {
  const s = Math.round(now.uptimeMs / 1000);
  return new LinkError(
    'restarted',
    `The controller at ${port} restarted during the command: it was in its start number ${before.boot}, and is ${s} s into number ${now.boot}. A measurement, a pump run or a profile that was on its way ended there; what was finished stays. ${fate}`,
  );
}

/** How often it was asked before; a line that was quiet for a while is asked who it is first. */
function asked(times: number): string {
  if (times === 0) return '';
  return `asked ${times === 1 ? 'once' : `${times} times`}, then `;
}

function stopped(port: string, request: Request, times: number): LinkError {
  return new LinkError(
    'silent',
    `The controller at ${port} stopped answering during the command: ${asked(times)}asked who it is, it sent back nothing sound. ${fateOf(request, true)}`,
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

/** The line to one board: the exchange in use, and what is known of the board. */
class BoardLine implements RetryingLine {
  #exchange: Exchange;
  #known: Hello;
  #heardMs: number;
  #asking = 0;
  #closing = false;
  /** Under way, for all requests that wait for it. */
  #recognising: Promise<Hello> | null = null;
  #reopening: Promise<Exchange> | null = null;

  constructor(
    first: Exchange,
    hello: Hello,
    private readonly options: RetryOptions,
  ) {
    this.#exchange = first;
    this.#known = hello;
    this.#heardMs = options.elapsedMs();
  }

  async ask(request: Request): Promise<Reply> {
    const { elapsedMs, timing } = this.options;
    const quiet = this.#asking === 0 && elapsedMs() - this.#heardMs > timing.quietMs;
    this.#asking++;
    try {
      if (quiet) await this.#makeSure(request, 0);
      return await this.#askUntilAnswered(request);
    } finally {
      this.#asking--;
      this.#heardMs = elapsedMs();
    }
  }

  async close(): Promise<void> {
    this.#closing = true;
    await this.#exchange.close();
  }

  async #askUntilAnswered(request: Request): Promise<Reply> {
    const { port, timing } = this.options;
    let silent = 0;
    let cuts = 0;
    for (let sent = 1; ; sent++) {
      const asked = this.#exchange;
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
        if (error.how === 'closed') await this.#comeBack(asked, request);
        else await this.#makeSure(request, sent);
      }
    }
  }

  /** Makes sure of the board before `request` is sent, for the first time or again. */
  async #makeSure(request: Request, sent: number): Promise<void> {
    const { port, timing, nextId } = this.options;
    const asked = this.#exchange;
    let now: Hello;
    try {
      this.#recognising ??= handshake(port, asked, timing, nextId).finally(() => {
        this.#recognising = null;
      });
      now = await this.#recognising;
    } catch (error) {
      // The next attempt to send finds the line cut, and opens it anew.
      if (!asked.isOpen) return;
      const heardNothing =
        error instanceof LinkError && (error.kind === 'silent' || error.kind === 'not-ours');
      throw heardNothing ? stopped(port, request, sent) : error;
    }
    this.#recognise(now, fateOf(request, sent > 0));
  }

  /** Throws unless `now` is what we have been talking to. */
  #recognise(now: Hello, fate: string): void {
    const { port, elapsedMs } = this.options;
    if (!sameBoot(this.#known, now)) throw restarted(port, this.#known, now, fate);
    this.#known = now;
    this.#heardMs = elapsedMs();
  }

  /** After `cut` has closed: waits until there is a line to the same board again. */
  async #comeBack(cut: Exchange, request: Request): Promise<void> {
    if (this.#exchange !== cut) return;
    this.#reopening ??= this.#reopen(request).finally(() => {
      this.#reopening = null;
    });
    this.#exchange = await this.#reopening;
    if (this.#closing) await this.#exchange.close();
  }

  async #reopen(request: Request): Promise<Exchange> {
    const { port, timing } = this.options;
    const endMs = performance.now() + timing.reopenMs;
    for (;;) {
      await delay(timing.reopenEveryMs);
      try {
        return await this.#reachAgain(fateOf(request, true));
      } catch (error) {
        if (!(error instanceof LinkError) || error.kind === 'restarted') throw error;
        if (this.#closing || performance.now() >= endMs) throw lost(port, timing, request, error);
      }
    }
  }

  /** One try to reach the same board over a new line. Throws `LinkError`. */
  async #reachAgain(fate: string): Promise<Exchange> {
    const { port, timing, nextId, open } = this.options;
    const again = await open();
    try {
      const now = await handshake(port, again, timing, nextId);
      if (now.boardId !== this.#known.boardId) {
        throw new LinkError('not-ours', `Another controller, ${now.boardId}, answers there now.`);
      }
      this.#recognise(now, fate);
      return again;
    } catch (error) {
      await again.close();
      throw error;
    }
  }
}

/** Takes over an exchange on which the board has just said `hello`. */
export function createRetryingLine(
  first: Exchange,
  hello: Hello,
  options: RetryOptions,
): RetryingLine {
  return new BoardLine(first, hello, options);
}
