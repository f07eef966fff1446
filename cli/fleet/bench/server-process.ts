/** What servers of tests and figures have in common: a port, a start that is waited for, an end. */
import type { ChildProcess } from 'node:child_process';
import { connect, createServer } from 'node:net';

/** A server that has not begun to answer by then will not, ms: after a kill it reads gigabytes of its log first. */
const START_MOST_MS = 180_000;

/** A port of loopback that the system has free now. */
export const freePort = (): Promise<number> =>
  new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      const port = address !== null && typeof address === 'object' ? address.port : 0;
      server.close(() => resolve(port));
    });
  });

/** Resolves when a process has ended, also where it had before. */
export const ended = (child: ChildProcess): Promise<void> =>
  new Promise((resolve) => {
    if (child.exitCode !== null || child.signalCode !== null) resolve();
    else child.once('exit', () => resolve());
  });

export const pause = (ms: number): Promise<void> =>
  new Promise((resolve) => setTimeout(resolve, ms));

/** Waits until a server answers. Throws where it never does. */
export async function until(works: () => Promise<boolean>, what: string): Promise<void> {
  const endMs = performance.now() + START_MOST_MS;
  while (!(await works())) {
    if (performance.now() > endMs) throw new Error(`${what} does not answer`);
    await pause(50);
  }
}

/** Whether something listens at a port of loopback. */
export const listens = (port: number): Promise<boolean> =>
  new Promise((resolve) => {
    const socket = connect({ host: '127.0.0.1', port });
    socket.once('connect', () => {
      socket.destroy();
      resolve(true);
    });
    socket.once('error', () => resolve(false));
  });
