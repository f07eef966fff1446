/** TCP on this machine only. */
import { createServer, type Server, type Socket } from 'node:net';

/** Nobody outside this machine can reach a bench. */
export const LOOPBACK = '127.0.0.1';

export interface Listening {
  readonly port: number;
  /** Stops listening and drops every connection. */
  close(): Promise<void>;
}

/** Listens on a port of this machine, 0: any free one. Rejects with Node's error, such as EADDRINUSE. */
export function listen(port: number, onConnection: (socket: Socket) => void): Promise<Listening> {
  const sockets = new Set<Socket>();
  const server = createServer({ noDelay: true }, (socket) => {
    sockets.add(socket);
    socket.once('close', () => sockets.delete(socket));
    // Whatever goes wrong with a connection ends in `close`.
    socket.on('error', () => socket.destroy());
    onConnection(socket);
  });
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, LOOPBACK, () => {
      server.off('error', reject);
      resolve({ port: portOf(server), close: () => closeAll(server, sockets) });
    });
  });
}

function portOf(server: Server): number {
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no TCP address');
  return address.port;
}

function closeAll(server: Server, sockets: ReadonlySet<Socket>): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve());
    // What was written, such as the reply to `stop`, still goes out.
    for (const socket of sockets) socket.destroySoon();
  });
}
