/** A port that a keeper of the same user holds: the other commands go through it, instead of finding the port in use. */
import { existsSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { meetingPlace, portSocket } from '../../shared/host/keepers';
import { LinkError, type LinkErrorKind } from './client';
import { overSocket } from './over-socket';
import type { Transport } from './transport';
import { within } from './within';

/** What a keeper says first: that the port is open, or why it is not, as JSON after a space. */
export const SHARED_READY = 'ready';
export const SHARED_REFUSED = 'refused';

const NEWLINE = 0x0a;

const KINDS: readonly LinkErrorKind[] = [
  ...(['lost', 'silent', 'not-ours', 'absent', 'no-address', 'in-use', 'denied'] as const),
];

function refusalOf(text: string): LinkError {
  const { kind, message } = Object(JSON.parse(text));
  const known = KINDS.find((one) => one === kind) ?? 'absent';
  return new LinkError(known, String(message));
}

/** The socket once it is connected; null where nobody listens any more. */
function opened(path: string): Promise<Socket | null> {
  const socket = connect(path);
  return new Promise((resolve) => {
    socket.once('connect', () => resolve(socket));
    socket.once('error', () => resolve(null));
  });
}

/** The keeper's first line, and the bytes behind it. */
function firstLine(socket: Socket): Promise<{ readonly line: string; readonly rest: Buffer }> {
  return new Promise((resolve, reject) => {
    let heard = Buffer.alloc(0);
    const end = (): void => reject(new LinkError('lost', 'The keeper of this port has gone away.'));
    const take = (bytes: Buffer): void => {
      heard = Buffer.concat([heard, bytes]);
      const at = heard.indexOf(NEWLINE);
      if (at < 0) return;
      socket.off('data', take);
      socket.off('close', end);
      socket.pause();
      resolve({ line: heard.subarray(0, at).toString(), rest: heard.subarray(at + 1) });
    };
    socket.on('data', take);
    socket.once('close', end);
  });
}

/**
 * The port through its keeper; null where no keeper holds it. Throws `LinkError`, with the reason why the keeper itself
 * cannot open the port.
 */
export async function openShared(port: string, openMs: number): Promise<Transport | null> {
  const place = meetingPlace();
  if (place === null) return null;
  const path = portSocket(place, port);
  if (process.platform !== 'win32' && !existsSync(path)) return null;
  const socket = await opened(path);
  if (socket === null) return null;
  socket.on('error', () => undefined);
  const late = (): Error =>
    new LinkError('silent', `The keeper of ${port} does not answer within ${openMs / 1000} s.`);
  try {
    const { line, rest } = await within(openMs, firstLine(socket), late, () => undefined);
    if (line === SHARED_READY) return overSocket(socket, () => socket.destroySoon(), rest);
    throw refusalOf(line.slice(SHARED_REFUSED.length));
  } catch (error) {
    socket.destroy();
    throw error;
  }
}
