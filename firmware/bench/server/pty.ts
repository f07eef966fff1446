/** A serial device in front of the link's TCP port: socat makes the pty and carries the bytes. */
import { type ChildProcess, spawn } from 'node:child_process';
import { closeSync, constants, existsSync, lstatSync, openSync, unlinkSync } from 'node:fs';
import { LOOPBACK } from './listen';

const START_MAX_MS = 3000;
const LOOK_MS = 20;

/** Why there is no pty, in a grower's words. */
export class PtyError extends Error {
  override readonly name = 'PtyError';
}

export interface Pty {
  readonly path: string;
  close(): Promise<void>;
}

/** Links `path` to a new pty whose other end is the TCP port. Throws `PtyError`. */
export async function openPty(path: string, tcpPort: number): Promise<Pty> {
  if (process.platform === 'win32') throw new PtyError('Windows has no pty. Use the TCP address.');
  removeStaleLink(path);
  const child = spawn(
    'socat',
    [`PTY,link=${path},raw,echo=0,mode=600`, `TCP:${LOOPBACK}:${tcpPort},nodelay`],
    { stdio: ['ignore', 'ignore', 'pipe'] },
  );
  await appeared(path, child);
  // A pty whose last reader leaves reports an end, at which socat would stop: this one never leaves.
  const held = openSync(path, constants.O_RDWR | constants.O_NOCTTY);
  return {
    path,
    close() {
      closeSync(held);
      return new Promise((resolve) => {
        child.once('exit', () => resolve());
        if (!child.kill('SIGTERM')) resolve();
      });
    },
  };
}

/** A link that an earlier bench left behind goes; anything else at that path stays. */
function removeStaleLink(path: string): void {
  const found = lstatSync(path, { throwIfNoEntry: false });
  if (found === undefined) return;
  if (!found.isSymbolicLink() || existsSync(path)) {
    throw new PtyError(`${path} exists already. Give another path, or remove it.`);
  }
  unlinkSync(path);
}

function appeared(path: string, child: ChildProcess): Promise<void> {
  return new Promise((resolve, reject) => {
    let said = '';
    child.stderr?.on('data', (chunk: Buffer) => {
      said += chunk.toString('utf8');
    });
    const deadline = Date.now() + START_MAX_MS;
    const look = setInterval(() => {
      if (existsSync(path)) settle();
      else if (Date.now() > deadline) settle(new PtyError(`socat made no pty at ${path}.`));
    }, LOOK_MS);
    const settle = (error?: PtyError): void => {
      clearInterval(look);
      child.off('exit', ended);
      if (error === undefined) {
        resolve();
      } else {
        child.kill('SIGTERM');
        reject(error);
      }
    };
    const ended = (): void =>
      settle(new PtyError(`socat stopped: ${said.trim() || 'no reason given'}`));
    child.once('exit', ended);
    child.once('error', () => {
      settle(
        new PtyError(
          'A pty needs the program socat, which is not installed. Install it, or use the TCP address.',
        ),
      );
    });
  });
}
