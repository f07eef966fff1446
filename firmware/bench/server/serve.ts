/** The bench as a service: the link and the bench door on TCP, the link as a serial device if wanted. */
import type { Socket } from 'node:net';
import { DOOR, DOORS, type Door } from '../../../shared/board/map';
import { announce, type RunningBench } from '../../../shared/host/benches';
import { accept, decline, type Verdict } from '../../../shared/physics/verdict';
import { type BenchOptions, createBench } from '../bench';
import { perform } from '../hand-actions';
import type { LinkEnd, ServableBench } from '../servable';
import { showBootDrive } from './boot-drive-folder';
import { DOOR_LINE_BYTES, type DoorRequest, type DoorResult, parseRequest } from './door';
import { lineReader } from './lines';
import { type Listening, LOOPBACK, listen } from './listen';
import { Pacer } from './pacer';
import { openPty, type Pty, type PtyError } from './pty';

export interface ServeOptions extends BenchOptions {
  /** TCP port of the link, and of the bench door; 0: any free one. */
  readonly linkPort: number;
  readonly doorPort: number;
  /** Path of the serial device to make, or null. */
  readonly ptyPath: string | null;
  /** Simulated seconds a second; 0: time stands still but for `run`. */
  readonly speed: number;
  /** A flash image to run in the emulated board, instead of the firmware in this process. */
  readonly image?: Uint8Array;
  /** TCP port that reaches the second door, UART0, and nothing else; 0: any free one. */
  readonly uartPort?: number;
  /** Path of the serial device that reaches the second door and nothing else: instead of TCP. */
  readonly uartPtyPath?: string;
  /** Folder in which the board's boot drive appears while it shows one. */
  readonly drivePath?: string;
}

/** A running bench. */
export interface BenchServer {
  readonly bench: ServableBench;
  readonly at: RunningBench;
  /** Resolves when it has stopped, whoever stopped it. */
  readonly stopped: Promise<void>;
  /** Resolves when a serial device is gone though the bench runs on: which, and why. */
  readonly deviceLost: Promise<DeviceLost>;
  stop(): Promise<void>;
}

export interface DeviceLost {
  readonly path: string;
  readonly why: PtyError;
}

/** Bytes waiting for a slow host; beyond, the board's queue is full and it drops them. */
const QUEUE_MAX_BYTES = 262_144;

/** For a door that is taken: how often it is looked at, and how many times before the caller has to go. */
const DOOR_LOOK_MS = 20;
const DOOR_LOOKS = 25;

/** An emulated board starts in this time; then it is ready for the first command. */
const BOARD_START_MS = 2_000;

/** And an image that a board was given: whatever the speed, it starts by itself. */
const IMAGE_START_MS = 2_000;

/** Starts it. Rejects with Node's error when a port is taken, or with `PtyError`. */
export async function serveBench(options: ServeOptions): Promise<BenchServer> {
  const bench = await makeBench(options);
  const pacer = new Pacer(bench, () => performance.now());
  let stop = (): Promise<void> => Promise.resolve();
  const places = await open(options, bench, (socket) => {
    serveDoor(socket, bench, pacer, () => stop());
  });
  const at = addresses(places, options.drivePath ?? null, bench.boardId);
  const drive =
    options.drivePath === undefined
      ? null
      : showBootDrive(bench, options.drivePath, () => void pacer.run(IMAGE_START_MS));
  const withdraw = announce(at);
  const stopped = new Promise<void>((resolve) => {
    let stopping: Promise<void> | null = null;
    stop = () => {
      stopping ??= (async () => {
        withdraw();
        pacer.stop();
        drive?.close();
        await close(places);
        resolve();
      })();
      return stopping;
    };
  });
  pacer.setSpeed(options.speed);
  return { bench, at, stopped, deviceLost: deviceLost(places), stop: () => stop() };
}

/** Where a bench is reached. A pty stands before its TCP port, and takes the only place there. */
interface Places {
  link: Listening;
  uart?: Listening;
  door?: Listening;
  pty?: Pty;
  uartPty?: Pty;
}

/** Opens every place that is wanted, or none. */
async function open(
  options: ServeOptions,
  bench: ServableBench,
  onDoor: (socket: Socket) => void,
): Promise<Places & { door: Listening }> {
  const { ptyPath, uartPtyPath } = options;
  const uartPort = options.uartPort ?? (uartPtyPath === undefined ? undefined : 0);
  const first = uartPort === undefined ? DOORS : [DOOR.usb];
  const link = await listen(options.linkPort, (socket) => attach(bench, socket, first));
  const places: Places = { link };
  try {
    const door = await listen(options.doorPort, onDoor);
    places.door = door;
    if (uartPort !== undefined) {
      places.uart = await listen(uartPort, (socket) => attach(bench, socket, [DOOR.uart]));
    }
    if (ptyPath !== null) places.pty = await openPty(ptyPath, link.port);
    if (uartPtyPath !== undefined && places.uart !== undefined) {
      places.uartPty = await openPty(uartPtyPath, places.uart.port);
    }
    return { ...places, door };
  } catch (error) {
    await close(places);
    throw error;
  }
}

/** Resolves with the first of the serial devices that is gone; never, where there is none. */
function deviceLost({ pty, uartPty }: Places): Promise<DeviceLost> {
  return new Promise((resolve) => {
    for (const one of [pty, uartPty]) {
      void one?.lost.then((why) => resolve({ path: one.path, why }));
    }
  });
}

async function close({ pty, uartPty, link, uart, door }: Places): Promise<void> {
  await Promise.all([pty?.close(), uartPty?.close()]);
  await Promise.all([link.close(), uart?.close(), door?.close()]);
}

function addresses(
  { link, uart, door, pty, uartPty }: Places & { door: Listening },
  drive: string | null,
  boardId: string,
): RunningBench {
  const tcp = ({ port }: Listening): string => `tcp://${LOOPBACK}:${port}`;
  // With the second door in a place of its own, the pty has the first one to itself.
  const ptyAlone = uart === undefined ? undefined : pty?.path;
  return {
    pid: process.pid,
    link: ptyAlone ?? tcp(link),
    door: tcp(door),
    uart: uartPty?.path ?? (uart === undefined ? null : tcp(uart)),
    pty: pty?.path ?? null,
    drive,
    boardId,
    startedUnixMs: Date.now(),
  };
}

/** The emulator is loaded only when it is wanted. */
async function makeBench(options: ServeOptions): Promise<ServableBench> {
  const { image } = options;
  if (image === undefined) return createBench(options);
  const { ChipBench } = await import('../chip/chip-bench');
  const bench = new ChipBench({ ...options, image });
  bench.run(BOARD_START_MS);
  return bench;
}

/**
 * Gives a connection the first free one of these doors of the link. One too many is turned away, but
 * not at once: the program before it may have hung up without our having heard of it yet.
 */
function attach(bench: ServableBench, socket: Socket, doors: readonly Door[]): void {
  if (attached(bench, socket, doors)) return;
  let looks = 0;
  const looking = setInterval(() => {
    looks += 1;
    const settled = socket.destroyed || attached(bench, socket, doors);
    if (!settled && looks < DOOR_LOOKS) return;
    clearInterval(looking);
    if (!settled) socket.destroy();
  }, DOOR_LOOK_MS);
}

/** Whether one of the doors was free and now is this connection's. */
function attached(bench: ServableBench, socket: Socket, doors: readonly Door[]): boolean {
  const listener = (bytes: Uint8Array): boolean => {
    if (socket.writableLength > QUEUE_MAX_BYTES || !socket.writable) return false;
    socket.write(bytes);
    return true;
  };
  let end: LinkEnd | null = null;
  for (const door of doors) end ??= bench.connect(listener, door);
  if (end === null) return false;
  const { write, close } = end;
  socket.on('data', (chunk: Buffer) => write(chunk));
  socket.once('close', close);
  return true;
}

function serveDoor(
  socket: Socket,
  bench: ServableBench,
  pacer: Pacer,
  stop: () => Promise<void>,
): void {
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
  bench: ServableBench,
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
      if (!done.ok) return decline(done.why);
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
