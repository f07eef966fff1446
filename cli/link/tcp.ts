/** A port over TCP: a bench, or a serial server, at the address the grower names. */
import { connect, type Socket } from 'node:net';
import { LinkError } from './client';
import { overSocket } from './over-socket';
import type { Transport } from './transport';
import { within } from './within';

/** Longest wait for the other end to hang up after us. */
const HANG_UP_MAX_MS = 500;

interface Address {
  readonly host: string;
  readonly port: number;
}

/** Host and port of `tcp://HOST:PORT`. Throws `LinkError` `no-address`. */
export function parseTcp(text: string): Address {
  const parts = /^tcp:\/\/(\[[0-9a-f:.]+\]|[^/:[\]]+):(\d{1,5})\/?$/i.exec(text);
  const port = Number(parts?.[2]);
  if (parts?.[1] === undefined || port < 1 || port > 65_535) {
    throw new LinkError(
      'no-address',
      `"${text}" is no address: write tcp://HOST:PORT, for example tcp://127.0.0.1:4180.`,
    );
  }
  return { host: parts[1].replace(/^\[|\]$/g, ''), port };
}

function reasonOf(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : null;
  switch (code) {
    case 'ECONNREFUSED':
      return 'nothing listens there';
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
      return 'no machine of that name is known';
    case 'EHOSTUNREACH':
    case 'ENETUNREACH':
      return 'there is no way to that machine';
    default:
      return error instanceof Error ? error.message : String(error);
  }
}

const opened = (socket: Socket, text: string): Promise<Socket> =>
  new Promise((resolve, reject) => {
    socket.once('connect', () => resolve(socket));
    socket.once('error', (error) =>
      reject(new LinkError('absent', `No connection to ${text}: ${reasonOf(error)}.`)),
    );
  });

/** Opens `tcp://HOST:PORT`. Throws `LinkError` `absent`. */
export async function openTcp(text: string, openMs: number): Promise<Transport> {
  // One small request at a time: waiting to fill a packet would only add delay.
  const socket = connect({ ...parseTcp(text), noDelay: true });
  const late = (): Error =>
    new LinkError('absent', `No connection to ${text}: no answer within ${openMs / 1000} s.`);
  try {
    await within(openMs, opened(socket, text), late, () => undefined);
  } catch (error) {
    socket.destroy();
    throw error;
  }
  // A reset is followed by `close`, which says all we need.
  socket.on('error', () => undefined);
  return overSocket(socket, () => {
    // Until the other end hangs up too, it may turn our next connection away as one too many.
    const enough = setTimeout(() => socket.destroy(), HANG_UP_MAX_MS);
    socket.once('close', () => clearTimeout(enough));
    socket.end();
  });
}
