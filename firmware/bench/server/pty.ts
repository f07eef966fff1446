/** A serial device in front of the link's TCP port: socat makes the pty and carries the bytes. */
import { type ChildProcess, spawn } from 'node:child_process';
import { closeSync, constants, existsSync, lstatSync, openSync, unlinkSync } from 'node:fs';
import { LOOPBACK } from './listen';

const START_MAX_MS = 3000;
const LOOK_MS = 20;
/** Characters kept of what socat said last. */
const SAID_MAX = 500;

/** Why there is no pty, in a grower's words. */
export class PtyError extends Error {
  override readonly name = 'PtyError';
}

export interface Pty {
  readonly path: string;
  /** Resolves with the reason when socat ends by itself: nothing is at the path any more. */
  readonly lost: Promise<PtyError>;
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
  let said = '';
  child.stderr.on('data', (chunk: Buffer) => {
    said = (said + chunk.toString('utf8')).slice(-SAID_MAX);
  });
  const ended = new Promise<PtyError>((resolve) => {
    child.once('exit', () =>
      resolve(new PtyError(`socat stopped: ${said.trim() || 'no reason given'}`)),
    );
  });
  await appeared(path, child, ended);
  // A pty whose last reader leaves reports an end, at which socat would stop: this one never leaves.
  const held = openSync(path, constants.O_RDWR | constants.O_NOCTTY);
  let isClosing = false;
  return {
    path,
    lost: new Promise((resolve) => {
      void ended.then((why) => isClosing || resolve(why));
    }),
    close() {
      isClosing = true;
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

function appeared(path: string, child: ChildProcess, ended: Promise<PtyError>): Promise<void> {
  return new Promise((resolve, reject) => {
    const deadline = Date.now() + START_MAX_MS;
    const look = setInterval(() => {
      if (existsSync(path)) settle();
      else if (Date.now() > deadline) settle(new PtyError(`socat made no pty at ${path}.`));
    }, LOOK_MS);
    const settle = (error?: PtyError): void => {
      clearInterval(look);
      if (error === undefined) {
        resolve();
      } else {
        child.kill('SIGTERM');
        reject(error);
      }
    };
    void ended.then(settle);
    child.once('error', () => {
      settle(
        new PtyError(
          'A pty needs the program socat, which is not installed. Install it, or use the TCP address.',
        ),
      );
    });
  });
}
