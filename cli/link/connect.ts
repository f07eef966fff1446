/** Opens a port and makes sure that a controller of ours answers. The clock is the session's affair. */
import type { MethodName, Result } from '../../shared/link/methods';
import type { CallParams, Client } from './client';
import { createExchange, type Exchange } from './exchange';
import { handshake } from './handshake';
import { LINK_TIMING, type LinkTiming } from './limits';
import { openTransport } from './open';
import { refusalOf } from './refusal';
import { createIds, encodeRequest, type NextId } from './request';
import { readResult } from './results';
import { createRetryingLine, type RetryingLine } from './retry';

export interface ConnectOptions {
  /** Waiting times, `LINK_TIMING` unless given. */
  readonly timing?: LinkTiming;
  /** Monotonic time as the board lives it, ms; this program's unless given. */
  readonly elapsedMs?: () => number;
}

function clientOf(
  port: string,
  hello: Client['hello'],
  line: RetryingLine,
  nextId: NextId,
): Client {
  return {
    port,
    hello,
    async call<M extends MethodName>(method: M, params: CallParams<M>): Promise<Result<M>> {
      const id = nextId();
      const reply = await line.ask({ id, method, line: encodeRequest(id, method, params) });
      if ('error' in reply) throw refusalOf(reply.error);
      return readResult(method, reply.result);
    },
    close: () => line.close(),
  };
}

/**
 * A client on `port` (`tcp://HOST:PORT` or a serial port), for the controller's present boot: calls
 * are repeated when a reply is lost, and the port is opened anew when the line is cut, but a restart
 * of the controller ends it. Throws `LinkError`.
 */
export async function connect(port: string, options: ConnectOptions = {}): Promise<Client> {
  const { timing = LINK_TIMING, elapsedMs = () => performance.now() } = options;
  const open = async (): Promise<Exchange> =>
    createExchange(await openTransport(port, timing.openMs), timing.replyMs);
  const exchange = await open();
  try {
    const nextId = createIds();
    const hello = await handshake(port, exchange, timing, nextId);
    const line = createRetryingLine(exchange, hello, { port, timing, nextId, elapsedMs, open });
    return clientOf(port, hello, line, nextId);
  } catch (error) {
    await exchange.close();
    throw error;
  }
}
