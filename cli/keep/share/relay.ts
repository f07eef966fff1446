/**
 * One port for several programs: the keeper opens it, and passes the lines of each on. Requests are told apart by their
 * ids, which every program draws from a wide range; the board itself sees one host.
 */
import { rmSync } from 'node:fs';
import { createServer, type Server, type Socket } from 'node:net';
import { decodeUtf8, encodeUtf8 } from '../../../shared/bytes';
import { createLineSplitter } from '../../../shared/link/framing';
import { LINK_LIMITS } from '../../../shared/link/methods';
import { LinkError } from '../../link/client';
import { LINK_TIMING } from '../../link/limits';
import { openPort } from '../../link/open';
import { SHARED_READY, SHARED_REFUSED } from '../../link/shared';
import type { Transport } from '../../link/transport';

/** Requests without a reply that are remembered: more than all programs together have on their way. */
const WAITING_MOST = 256;
/** What a program is told that a reply was lost on the line. */
const DAMAGED = encodeUtf8('?\n');

const idIn = (line: Uint8Array): number | null => {
  const [, id] = /^\{"jsonrpc":"2.0","id":(\d+)/.exec(decodeUtf8(line) ?? '') ?? [];
  return id === undefined ? null : Number(id);
};

const withEnd = (line: Uint8Array): Uint8Array => {
  const whole = new Uint8Array(line.length + 1);
  whole.set(line);
  whole[line.length] = 0x0a;
  return whole;
};

/** Whose reply is whose. */
class Waiting {
  readonly #of = new Map<number, Socket>();

  sent(id: number, by: Socket): void {
    this.#of.delete(id);
    this.#of.set(id, by);
    const [oldest] = this.#of.keys();
    if (this.#of.size > WAITING_MOST && oldest !== undefined) this.#of.delete(oldest);
  }

  /** Who asked for the reply with this id; for a line without one, who asked first: the board answers in order. */
  askerOf(id: number | null): Socket | null {
    const [oldest] = this.#of.keys();
    const key = id ?? oldest;
    if (key === undefined) return null;
    const socket = this.#of.get(key) ?? null;
    this.#of.delete(key);
    return socket;
  }

  clear(): void {
    this.#of.clear();
  }
}

export interface Relay {
  close(): Promise<void>;
}

class PortRelay implements Relay {
  readonly #sockets = new Set<Socket>();
  readonly #waiting = new Waiting();
  #opening: Promise<Transport> | null = null;
  #transport: Transport | null = null;

  constructor(
    private readonly port: string,
    private readonly server: Server,
  ) {
    server.on('connection', (socket) => void this.#attach(socket));
  }

  async close(): Promise<void> {
    const closed = new Promise((resolve) => this.server.close(resolve));
    for (const socket of this.#sockets) socket.destroy();
    await Promise.all([closed, this.#transport?.close()]);
  }

  async #attach(socket: Socket): Promise<void> {
    this.#sockets.add(socket);
    socket.on('error', () => undefined);
    socket.once('close', () => this.#left(socket));
    const take = createLineSplitter(LINK_LIMITS.lineToBoardBytes, (line) => {
      if (line !== null && line.length > 0) this.#ask(line, socket);
    });
    socket.on('data', take);
    try {
      await this.#open();
      socket.write(`${SHARED_READY}\n`);
    } catch (error) {
      const { kind = 'absent', message = String(error) } = error instanceof LinkError ? error : {};
      socket.end(`${SHARED_REFUSED} ${JSON.stringify({ kind, message })}\n`);
    }
  }

  #left(socket: Socket): void {
    this.#sockets.delete(socket);
    if (this.#sockets.size > 0) return;
    const transport = this.#transport;
    this.#transport = null;
    void transport?.close();
  }

  #ask(line: Uint8Array, by: Socket): void {
    const id = idIn(line);
    if (id !== null) this.#waiting.sent(id, by);
    this.#transport?.write(withEnd(line));
  }

  #open(): Promise<Transport> {
    if (this.#transport !== null) return Promise.resolve(this.#transport);
    this.#opening ??= this.#openAnew().finally(() => {
      this.#opening = null;
    });
    return this.#opening;
  }

  async #openAnew(): Promise<Transport> {
    const transport = await openPort(this.port, LINK_TIMING.openMs);
    this.#waiting.clear();
    transport.listen({
      bytes: createLineSplitter(LINK_LIMITS.lineToHostBytes, (line) => this.#heard(line)),
      closed: () => this.#lost(transport),
    });
    // Ends whatever half line the board still holds from an earlier program.
    transport.write(encodeUtf8('\n'));
    this.#transport = transport;
    return transport;
  }

  #heard(line: Uint8Array | null): void {
    const asker = this.#waiting.askerOf(line === null ? null : idIn(line));
    asker?.write(line === null ? DAMAGED : withEnd(line));
  }

  /** The port has gone: who is attached is told by a closed line, and opens anew in its own time. */
  #lost(transport: Transport): void {
    if (this.#transport !== transport) return;
    this.#transport = null;
    for (const socket of this.#sockets) socket.destroy();
  }
}

/** Serves `port` at the socket `path`, which is made anew. Rejects with Node's error. */
export async function relayPort(port: string, path: string): Promise<Relay> {
  if (process.platform !== 'win32') rmSync(path, { force: true });
  const server = createServer();
  const relay = new PortRelay(port, server);
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(path, () => resolve());
  });
  return relay;
}
