/** The bench as a service: the link and the bench door on TCP, the link as a serial device if wanted. */
import type { Socket } from 'node:net';
import { DOORS } from '../../../shared/board/map';
import { accept, refuse, type Verdict } from '../../../shared/physics/verdict';
import { type Bench, type BenchOptions, createBench, type LinkEnd } from '../bench';
import { perform } from '../hand-actions';
import { announce, type RunningBench } from './announce';
import { DOOR_LINE_BYTES, type DoorRequest, type DoorResult, parseRequest } from './door';
import { lineReader } from './lines';
import { type Listening, LOOPBACK, listen } from './listen';
import { Pacer } from './pacer';
import { openPty, type Pty } from './pty';

export interface ServeOptions extends BenchOptions {
  /** TCP port of the link, and of the bench door; 0: any free one. */
  readonly linkPort: number;
  readonly doorPort: number;
  /** Path of the serial device to make, or null. */
  readonly ptyPath: string | null;
  /** Simulated seconds a second; 0: time stands still but for `run`. */
  readonly speed: number;
}

/** A running bench. */
export interface BenchServer {
  readonly bench: Bench;
  readonly at: RunningBench;
  /** Resolves when it has stopped, whoever stopped it. */
  readonly stopped: Promise<void>;
  stop(): Promise<void>;
}

/** Bytes waiting for a slow host; beyond, the board's queue is full and it drops them. */
const QUEUE_MAX_BYTES = 262_144;

/** Starts it. Rejects with Node's error when a port is taken, or with `PtyError`. */
export async function serveBench(options: ServeOptions): Promise<BenchServer> {
  const bench = createBench(options);
  const pacer = new Pacer(bench, () => performance.now());
  const link = await listen(options.linkPort, (socket) => attach(bench, socket));
  let door: Listening | null = null;
  let pty: Pty | null = null;
  let stop = (): Promise<void> => Promise.resolve();
  try {
    door = await listen(options.doorPort, (socket) => {
      serveDoor(socket, bench, pacer, () => stop());
    });
    if (options.ptyPath !== null) pty = await openPty(options.ptyPath, link.port);
  } catch (error) {
    await Promise.all([link.close(), door?.close()]);
    throw error;
  }
  const at: RunningBench = {
    pid: process.pid,
    link: `tcp://${LOOPBACK}:${link.port}`,
    door: `tcp://${LOOPBACK}:${door.port}`,
    pty: pty?.path ?? null,
    startedUnixMs: Date.now(),
  };
  const withdraw = announce(at);
  const doors = [link, door];
  const stopped = new Promise<void>((resolve) => {
    let stopping: Promise<void> | null = null;
    stop = () => {
      stopping ??= (async () => {
        withdraw();
        pacer.stop();
        await pty?.close();
        await Promise.all(doors.map((one) => one.close()));
        resolve();
      })();
      return stopping;
    };
  });
  pacer.setSpeed(options.speed);
  return { bench, at, stopped, stop: () => stop() };
}

/** Gives a connection the first free door of the link: USB, then UART. A third one is turned away. */
function attach(bench: Bench, socket: Socket): void {
  const listener = (bytes: Uint8Array): boolean => {
    if (socket.writableLength > QUEUE_MAX_BYTES || !socket.writable) return false;
    socket.write(bytes);
    return true;
  };
  let end: LinkEnd | null = null;
  for (const door of DOORS) end ??= bench.connect(listener, door);
  if (end === null) {
    socket.destroy();
    return;
  }
  const { write, close } = end;
  socket.on('data', (chunk: Buffer) => write(chunk));
  socket.once('close', close);
}

function serveDoor(socket: Socket, bench: Bench, pacer: Pacer, stop: () => Promise<void>): void {
  const reply = (value: object): void => {
    if (socket.writable) socket.write(`${JSON.stringify(value)}\n`);
  };
  // Replies keep the order of the requests.
  let last = Promise.resolve();
  const answer = async (line: string): Promise<void> => {
    const request = parseRequest(line);
    const done = request.ok ? await serve(request.value, bench, pacer) : request;
    reply(done.ok ? { ok: true, result: done.value } : { ok: false, why: done.why });
    if (request.ok && request.value.do === 'stop') await stop();
  };
  const onLine = (line: string): void => {
    last = last.then(() => answer(line));
  };
  const onTooLong = (): void => {
    reply({ ok: false, why: 'That line is too long.' });
    socket.destroySoon();
  };
  socket.on('data', lineReader(DOOR_LINE_BYTES, onLine, onTooLong));
}

async function serve(
  request: DoorRequest,
  bench: Bench,
  pacer: Pacer,
): Promise<Verdict<DoorResult>> {
  switch (request.do) {
    case 'run':
      await pacer.run(Math.round(request.forS * 1000));
      break;
    case 'speed':
      pacer.setSpeed(request.times);
      break;
    case 'hand': {
      const done = perform(bench.hand, request.action, request.value);
      if (!done.ok) return refuse(done.why);
      break;
    }
    case 'fault':
      bench.fault(
        request.name,
        request.on,
        request.forS === undefined ? undefined : request.forS * 1000,
      );
      break;
    case 'state':
    case 'stop':
      break;
  }
  return accept({ speed: pacer.speed, state: bench.state() });
}
