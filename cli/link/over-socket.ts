/** The line over a socket that is connected. */
import type { Socket } from 'node:net';
import type { Transport } from './transport';

/** `hangUp` lets the other end know that this is all; `heard` came before anybody listened. */
export function overSocket(
  socket: Socket,
  hangUp: () => void,
  heard: Uint8Array = new Uint8Array(),
): Transport {
  return {
    write(bytes) {
      if (socket.writable) socket.write(bytes);
    },
    listen({ bytes, closed }) {
      if (heard.length > 0) bytes(heard);
      socket.on('data', bytes);
      socket.once('end', () => socket.destroy());
      if (socket.destroyed) queueMicrotask(closed);
      else socket.once('close', closed);
      socket.resume();
    },
    close() {
      return new Promise((resolve) => {
        if (socket.destroyed) return resolve();
        socket.once('close', () => resolve());
        hangUp();
      });
    },
  };
}
