/** Opens a port and makes sure that a controller of ours answers. The clock is the session's affair. */
import { type MethodName, type Result, RPC_ERROR } from '../../shared/link/methods';
import { type CallParams, type Client, LinkError } from './client';
import { createExchange, type Exchange, Missed, type Reply, type RpcError } from './exchange';
import { greet } from './greeting';
import { LINK_TIMING, type LinkTiming } from './limits';
import { createIds, encodeRequest, type NextId } from './request';
import { readResult } from './results';
import { openTransport } from './transport';

export interface ConnectOptions {
  readonly timing?: LinkTiming;
}

function refusalOf({ code, message, data }: RpcError): LinkError {
  const { why, reason } = Object(data);
  const kind =
    code === RPC_ERROR.refused ? 'refused' : code === RPC_ERROR.busy ? 'busy' : 'protocol';
  return new LinkError(
    kind,
    typeof why === 'string' ? why : message,
    typeof reason === 'string' ? reason : null,
  );
}

/** Sends the same line, token included, until it is answered or the tries are used up. */
async function askUntilAnswered(
  port: string,
  exchange: Exchange,
  id: number,
  line: Uint8Array,
  timing: LinkTiming,
): Promise<Reply> {
  let silent = 0;
  for (let tries = 1; ; tries++) {
    try {
      return await exchange.ask(id, line);
    } catch (error) {
      if (!(error instanceof Missed)) throw error;
      if (error.how === 'closed') {
        throw new LinkError(
          'lost',
          `The line to ${port} was cut before the controller answered. Plug it in again and repeat the command.`,
        );
      }
      if (error.how === 'silent') silent++;
      if (silent >= timing.silentAttempts || tries >= timing.damagedAttempts) {
        throw new LinkError(
          'silent',
          `The controller at ${port} stopped answering: it was asked ${tries} times. Check the cable and repeat the command.`,
        );
      }
    }
  }
}

function clientOf(
  port: string,
  exchange: Exchange,
  hello: Client['hello'],
  timing: LinkTiming,
  nextId: NextId,
): Client {
  return {
    port,
    hello,
    async call<M extends MethodName>(method: M, params: CallParams<M>): Promise<Result<M>> {
      const id = nextId();
      const line = encodeRequest(id, method, params);
      const reply = await askUntilAnswered(port, exchange, id, line, timing);
      if ('error' in reply) throw refusalOf(reply.error);
      return readResult(method, reply.result);
    },
    close: () => exchange.close(),
  };
}

/** A client on `port` (`tcp://HOST:PORT` or a serial port). Throws `LinkError`. */
export async function connect(port: string, options: ConnectOptions = {}): Promise<Client> {
  const { timing = LINK_TIMING } = options;
  const exchange = createExchange(await openTransport(port, timing.openMs), timing.replyMs);
  try {
    const nextId = createIds();
    const hello = await greet(port, exchange, timing, nextId);
    return clientOf(port, exchange, hello, timing, nextId);
  } catch (error) {
    await exchange.close();
    throw error;
  }
}
