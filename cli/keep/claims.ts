/** What this keeper holds, so that a second one is refused: its name, its ports, the controllers behind them. */

import { rmSync } from 'node:fs';
import type { Server } from 'node:net';
import { createServer } from 'node:net';
import {
  boardLock,
  keeperLock,
  keeperSocket,
  makeMeetingPlace,
  plainPort,
  portLock,
  portSocket,
} from '../../shared/host/keepers';
import { tryLock } from '../../shared/host/lock';
import type { Hello } from '../../shared/link/methods';
import { refused } from '../failure';
import { LinkError } from '../link/client';
import { type Relay, relayPort } from './share/relay';

/** A second keeper is refused with the number of the first. */
function keptAlready(what: string, holder: number | null) {
  const who = holder === null ? 'another keeper' : `another keeper, process ${holder}`;
  return refused(
    'kept-already',
    `${what} is kept already by ${who}.`,
    'Stop that one first, or take the tray out of one of the two files: `trayward keep status FILE` tells of each.',
  );
}

export class Claims {
  readonly #place = makeMeetingPlace();
  readonly #releases: (() => void)[] = [];
  readonly #relays = new Map<string, Relay>();
  /** The tray that each controller was found at. */
  readonly #boards = new Map<string, string>();
  #server: Server | null = null;

  /** Takes the keeper's name. Refused while another one runs under it. */
  takeName(name: string): void {
    this.#take(keeperLock(this.#place, name), `The room "${name}"`);
  }

  /** Takes a port and shares it with the other commands. Refused while another keeper has it. */
  async sharePort(port: string): Promise<void> {
    const plain = plainPort(port);
    if (this.#relays.has(plain)) return;
    this.#take(portLock(this.#place, port), `The port ${port}`);
    this.#relays.set(plain, await relayPort(port, portSocket(this.#place, port)));
  }

  /** Takes the controller that answers: it has two doors, and a second keeper may stand at the other one. */
  takeBoard(tray: string, { boardId }: Hello): void {
    const holder = this.#boards.get(boardId);
    if (holder === tray) return;
    if (holder !== undefined) {
      throw new LinkError(
        'not-ours',
        `The controller ${boardId} that answers for ${tray} is that of ${holder}: one of the two ports is wrong.`,
      );
    }
    this.#take(boardLock(this.#place, boardId), `Controller ${boardId}`);
    this.#boards.set(boardId, tray);
  }

  /** Answers each who asks with one line of `tell()`. */
  async answer(name: string, tell: () => object): Promise<void> {
    const path = keeperSocket(this.#place, name);
    if (process.platform !== 'win32') rmSync(path, { force: true });
    const server = createServer((socket) => {
      socket.on('error', () => undefined);
      socket.end(`${JSON.stringify(tell())}\n`);
    });
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(path, () => resolve());
    });
    this.#server = server;
  }

  /** Gives everything back. */
  async release(): Promise<void> {
    this.#server?.close();
    await Promise.all([...this.#relays.values()].map((relay) => relay.close()));
    for (const release of this.#releases.splice(0)) release();
  }

  #take(path: string, what: string): void {
    const locking = tryLock(path);
    if (!locking.taken) throw keptAlready(what, locking.holder);
    this.#releases.push(locking.release);
  }
}
