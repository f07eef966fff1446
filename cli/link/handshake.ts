/** The first words with a port: is this a controller of ours, and do we understand each other? */
import { PRODUCT_NAME } from '../../shared/board/map';
import { type Hello, LINK_VERSION, RPC_ERROR } from '../../shared/link/methods';
import { LinkError } from './client';
import { type Exchange, Missed } from './exchange';
import type { LinkTiming } from './limits';
import { refusalOf } from './refusal';
import { encodeRequest, type NextId } from './request';
import { readResult } from './results';

function notOurs(port: string, seen: string): LinkError {
  return new LinkError(
    'not-ours',
    `The device at ${port} is no ${PRODUCT_NAME} controller: ${seen}.`,
  );
}

function unanswered(port: string, exchange: Exchange, missed: Missed, tries: number): LinkError {
  if (exchange.strange !== null) {
    return notOurs(port, `asked who it is, it answered ${exchange.strange}`);
  }
  if (missed.how === 'closed') return turnedAway(port);
  return new LinkError(
    'silent',
    `Nothing answers at ${port}: it was asked ${tries} times who it is.`,
  );
}

/** A bench, or a serial server, that serves somebody else hangs up; a serial port only when it is pulled. */
function turnedAway(port: string): LinkError {
  return port.startsWith('tcp://')
    ? new LinkError(
        'in-use',
        `${port} hung up before it answered: another program holds it, or no controller is behind it.`,
      )
    : new LinkError('lost', `${port} went away before the controller answered.`);
}

async function readHello(port: string, result: unknown): Promise<Hello> {
  const { product, link, firmware } = Object(result);
  if (product !== PRODUCT_NAME) throw notOurs(port, 'it calls itself something else');
  if (typeof link === 'number' && link > LINK_VERSION) {
    throw new LinkError(
      'protocol',
      `The controller at ${port} is newer than this program (firmware ${firmware}, link version ${link}; this program knows version ${LINK_VERSION}). Update this program.`,
    );
  }
  return readResult('controller.hello', result);
}

/**
 * Asks who is there until it answers. Throws `LinkError` `silent`, `not-ours`, `lost`, `protocol`, and `refused` by
 * a board that runs no firmware.
 */
export async function handshake(
  port: string,
  exchange: Exchange,
  timing: LinkTiming,
  nextId: NextId,
): Promise<Hello> {
  // One id for all tries: the answer to the first may come during the second.
  const id = nextId();
  const line = encodeRequest(id, 'controller.hello', {});
  let silent = 0;
  for (let tries = 1; ; tries++) {
    try {
      const reply = await exchange.ask(id, line);
      if ('error' in reply && reply.error.code === RPC_ERROR.refused) {
        const { kind, message, reason } = refusalOf(reply.error);
        throw new LinkError(kind, `The controller at ${port} does not run. ${message}`, reason);
      }
      if ('error' in reply) throw notOurs(port, `it answered "${reply.error.message}"`);
      return await readHello(port, reply.result);
    } catch (error) {
      if (!(error instanceof Missed)) throw error;
      if (error.how === 'silent') silent++;
      const again =
        error.how !== 'closed' && silent < timing.silentAttempts && tries < timing.damagedAttempts;
      if (!again) throw unanswered(port, exchange, error, tries);
    }
  }
}
