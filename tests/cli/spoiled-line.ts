/** A bench behind a TCP port, on a line that the test can spoil, cut and listen to. */
import type { Socket } from 'node:net';
import type { Bench } from '../../firmware/bench/bench';
import type { LinkEnd } from '../../firmware/bench/servable';
import { listen } from '../../firmware/bench/server/listen';
import { DOOR } from '../../shared/board/map';

/** What becomes of a line on its way: other bytes, nothing, or nothing and the line is cut after them. */
export type Fate =
  | { readonly arrives: Uint8Array }
  | { readonly arrives: Uint8Array; readonly cut: true };

export const unharmed = (line: Uint8Array): Fate => ({ arrives: line });
export const swallowed = (): Fate => ({ arrives: new Uint8Array(0) });
/** One bit is wrong: the checksum tells. */
export function flipped(line: Uint8Array): Fate {
  const arrives = line.slice();
  const middle = Math.floor(line.length / 2);
  arrives[middle] = (arrives[middle] ?? 0) ^ 1;
  return { arrives };
}
export const torn = (line: Uint8Array): Fate => ({
  arrives: line.subarray(0, Math.floor(line.length / 2)),
  cut: true,
});

export interface SpoiledLine {
  /** As `--port` takes it. */
  readonly port: string;
  /** Methods that reached the board, in order. */
  readonly heard: string[];
  /** The board behind it; another one may be put there. */
  bench: Bench;
  /** Decides about each reply; the method it answers is the last one heard. */
  reply: (line: Uint8Array, method: string) => Fate;
  /** Decides about each piece of a request. */
  request: (bytes: Uint8Array) => Fate;
  /** Whether new connections are taken. */
  plugged: boolean;
  close(): Promise<void>;
}

function methodIn(bytes: Uint8Array): string | undefined {
  return /"method":"([a-z.]+)"/.exec(Buffer.from(bytes).toString('latin1'))?.[1];
}

function send(socket: Socket, fate: Fate): void {
  if (fate.arrives.length > 0) socket.write(fate.arrives);
  if ('cut' in fate) socket.end(() => socket.destroy());
}

/** Puts a bench behind a free port of this machine. */
export async function spoiledLine(bench: Bench): Promise<SpoiledLine> {
  const heard: string[] = [];
  const listening = await listen(0, (socket) => {
    const board = line.plugged ? line.bench : null;
    const end: LinkEnd | null =
      board?.connect((bytes) => {
        send(socket, line.reply(bytes, heard.at(-1) ?? ''));
        return true;
      }, DOOR.uart) ?? null;
    if (end === null) return void socket.destroy();
    socket.on('data', (bytes: Buffer) => {
      const fate = line.request(bytes);
      if (fate.arrives.length > 0) {
        const method = methodIn(fate.arrives);
        if (method !== undefined) heard.push(method);
        end.write(fate.arrives);
      }
      if ('cut' in fate) socket.destroy();
    });
    socket.once('close', () => end.close());
  });
  const line: SpoiledLine = {
    port: `tcp://127.0.0.1:${listening.port}`,
    heard,
    bench,
    reply: unharmed,
    request: unharmed,
    plugged: true,
    close: () => listening.close(),
  };
  return line;
}

/** Spoils the first reply to `method` in one way; all others arrive. */
export function spoilOnce(method: string, how: (line: Uint8Array) => Fate): SpoiledLine['reply'] {
  let done = false;
  return (line, answered) => {
    if (done || answered !== method) return unharmed(line);
    done = true;
    return how(line);
  };
}
