/** The bench as a service: who talks to it over TCP gets the same bench, at any speed. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { open as openFile } from 'node:fs/promises';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { askBench, NoBench } from '../../firmware/bench/server/ask';
import type { DoorRequest, DoorResult } from '../../firmware/bench/server/door';
import { type BenchServer, serveBench } from '../../firmware/bench/server/serve';
import type { Board } from '../../firmware/board';
import { runningBenches } from '../../shared/host/benches';
import { HOUR_S } from '../../shared/units/time';

const usualTmp = process.env.TMPDIR;
let folder = '';
const servers: BenchServer[] = [];

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-test-'));
  process.env.TMPDIR = folder;
});

afterEach(async () => {
  for (const server of servers.splice(0)) await server.stop();
});

afterAll(() => {
  if (usualTmp === undefined) delete process.env.TMPDIR;
  else process.env.TMPDIR = usualTmp;
  rmSync(folder, { recursive: true });
});

/** Firmware that says back what it hears. */
const echo = (board: Board) => ({
  tick: () => {},
  rest: () => {},
  receive: (door: 0 | 1, bytes: Uint8Array) => {
    board.send(door, bytes);
  },
});

/** Any free ports, and time that stands still. */
const QUIET = { seed: 1, linkPort: 0, doorPort: 0, ptyPath: null, speed: 0, firmware: echo };

async function start(speed = 0): Promise<BenchServer> {
  const server = await serveBench({ ...QUIET, speed });
  servers.push(server);
  return server;
}

async function ask(server: BenchServer, request: DoorRequest): Promise<DoorResult> {
  const answer = await askBench(server.at.door, request);
  if (!answer.ok) throw new Error(answer.why);
  return answer.value;
}

const portOf = (address: string): number => Number(address.replace(/^.*:/, ''));

function open(address: string): Promise<Socket> {
  return new Promise((resolve) => {
    const socket = connect(portOf(address), '127.0.0.1', () => resolve(socket));
  });
}

/** The next bytes of a connection as text; null when it closes first. */
function heard(socket: Socket): Promise<string | null> {
  return new Promise((resolve) => {
    const closed = (): void => resolve(null);
    socket.once('close', closed);
    socket.once('data', (chunk) => {
      socket.off('close', closed);
      resolve(chunk.toString());
    });
  });
}

/** Writes one raw line to the bench door and hears the answer. */
async function sayToDoor(server: BenchServer, line: string): Promise<string | null> {
  const socket = await open(server.at.door);
  const answer = heard(socket);
  socket.write(`${line}\n`);
  const text = await answer;
  socket.destroy();
  return text;
}

describe('the link', () => {
  it('answers while time stands still', async () => {
    const server = await start(0);
    const socket = await open(server.at.link);
    const answer = heard(socket);
    socket.write('hello');
    expect(await answer).toBe('hello');
    expect(server.bench.nowMs).toBe(0);
    socket.destroy();
  });

  it('answers in the middle of a run of a month', async () => {
    const server = await start(0);
    const socket = await open(server.at.link);
    const run = ask(server, { do: 'run', forS: 30 * 24 * HOUR_S });
    let inRun = 0;
    for (let i = 0; i < 20 && server.bench.nowMs < 30 * 24 * HOUR_S * 1000; i++) {
      const answer = heard(socket);
      socket.write('still there?');
      expect(await answer).toBe('still there?');
      inRun++;
    }
    expect(inRun).toBeGreaterThan(3);
    expect((await run).state.timeS).toBe(30 * 24 * HOUR_S);
    socket.destroy();
  });

  it('takes two connections, the doors of the board, and turns the third away', async () => {
    const server = await start();
    const first = await open(server.at.link);
    const second = await open(server.at.link);
    for (const socket of [first, second]) {
      const answer = heard(socket);
      socket.write('mine');
      expect(await answer).toBe('mine');
    }
    const third = await open(server.at.link);
    expect(await heard(third)).toBeNull();
    first.destroy();
    second.destroy();
  });
});

describe('the bench door', () => {
  it('runs exactly as long as asked, one run after the other', async () => {
    const server = await start();
    const [first, second] = await Promise.all([
      ask(server, { do: 'run', forS: 500 * HOUR_S }),
      ask(server, { do: 'run', forS: 500 * HOUR_S }),
    ]);
    const ends = [first.state.timeS, second.state.timeS].sort((a, b) => a - b);
    expect(ends).toEqual([500 * HOUR_S, 1000 * HOUR_S]);
  });

  it('does what the hand is told, and says how the tray stands then', async () => {
    const server = await start();
    const soaked = await ask(server, { do: 'hand', action: 'soak' });
    expect(soaked.state.tray.onScale).toBe(true);
    expect(soaked.state.tray.dryBackShare).toBeCloseTo(-0.01, 3);
    const lid = await ask(server, { do: 'hand', action: 'lid', value: 'propped' });
    expect(lid.state.lid).toBe('propped');
    const loaded = await ask(server, { do: 'hand', action: 'put-weight', value: 1000 });
    expect(loaded.state.scale.loadG - soaked.state.scale.loadG).toBeCloseTo(1000, 6);
  });

  it('calls faults up and off, also for a time', async () => {
    const server = await start();
    const cut = await ask(server, { do: 'fault', name: 'mains-cut', on: true, forS: 2 * HOUR_S });
    expect(cut.state.powered).toBe(false);
    expect(cut.state.faults).toEqual([{ name: 'mains-cut', leftS: 2 * HOUR_S }]);
    const later = await ask(server, { do: 'run', forS: 2 * HOUR_S + 5 });
    expect(later.state.powered).toBe(true);
    expect(later.state.boots).toBe(2);
  });

  it('moves time at the speed asked for, in whole ticks', async () => {
    const server = await start(0);
    await ask(server, { do: 'speed', times: 100_000 });
    let state = await ask(server, { do: 'state' });
    while (state.state.timeS < 60) state = await ask(server, { do: 'state' });
    const stopped = await ask(server, { do: 'speed', times: 0 });
    expect(stopped.state.timeS % 1).toBe(0);
    expect((await ask(server, { do: 'state' })).state.timeS).toBe(stopped.state.timeS);
  });

  it.each([
    ['no JSON', '{"do":', 'no JSON'],
    ['an unknown request', '{"do":"dance"}', 'do'],
    ['an unknown fault', '{"do":"fault","name":"earthquake","on":true}', 'name'],
    ['a run backwards', '{"do":"run","forS":-5}', 'forS'],
    ['a weight without its mass', '{"do":"hand","action":"put-weight"}', 'put-weight'],
    ['a weight below zero', '{"do":"hand","action":"put-weight","value":-1}', 'put-weight'],
    ['a lid nobody knows', '{"do":"hand","action":"lid","value":"ajar"}', 'lid'],
    ['more than the action takes', '{"do":"hand","action":"sow","value":3}', 'sow'],
  ])('refuses %s, and changes nothing', async (_, line, names) => {
    const server = await start();
    const before = server.bench.state();
    const answer = await sayToDoor(server, line);
    expect(answer).toContain('"ok":false');
    expect(answer).toContain(names);
    expect(server.bench.state()).toEqual(before);
  });

  it('cuts off a line without end', async () => {
    const server = await start();
    expect(await sayToDoor(server, 'x'.repeat(10_000))).toContain('too long');
  });
});

const hasSocat = spawnSync('socat', ['-V']).status === 0;

/** Where Linux lists the processes that this one started. */
const CHILDREN = `/proc/${process.pid}/task/${process.pid}/children`;
const tellsChildren = existsSync(CHILDREN);
const children = (): number[] =>
  readFileSync(CHILDREN, 'utf8').split(' ').filter(Boolean).map(Number);

describe.skipIf(!hasSocat)('the serial device', () => {
  it('carries the link, and outlives whoever opens and closes it', async () => {
    const ptyPath = join(folder, 'tray');
    const server = await serveBench({ ...QUIET, ptyPath });
    servers.push(server);
    for (const word of ['first', 'second']) {
      const device = await openFile(ptyPath, 'r+');
      await device.write(word);
      const { buffer, bytesRead } = await device.read(Buffer.alloc(100), 0, 100);
      expect(buffer.toString('utf8', 0, bytesRead)).toBe(word);
      await device.close();
    }
    await server.stop();
    expect(existsSync(ptyPath)).toBe(false);
  });

  it.skipIf(!tellsChildren)('that is gone is told, and the bench runs on', async () => {
    const ptyPath = join(folder, 'gone');
    const before = children();
    const server = await serveBench({ ...QUIET, ptyPath });
    servers.push(server);
    const [socat] = children().filter((pid) => !before.includes(pid));
    if (socat === undefined) throw new Error('the device is carried by no process');
    process.kill(socat, 'SIGTERM');
    const { path, why } = await server.deviceLost;
    expect(path).toBe(ptyPath);
    expect(why.message).toContain('socat stopped');
    expect(runningBenches()).toMatchObject([{ pty: ptyPath }]);
    await server.stop();
  });

  it('does not take the place of a file, and then leaves nothing running', async () => {
    const path = join(folder, 'notes');
    writeFileSync(path, 'mine');
    await expect(serveBench({ ...QUIET, ptyPath: path })).rejects.toThrow('exists already');
    expect(readFileSync(path, 'utf8')).toBe('mine');
    expect(runningBenches()).toEqual([]);
  });

  it('of the first door goes again when there is none for the second', async () => {
    const ptyPath = join(folder, 'usb');
    const uartPtyPath = join(folder, 'uart-notes');
    writeFileSync(uartPtyPath, 'mine');
    await expect(serveBench({ ...QUIET, ptyPath, uartPtyPath })).rejects.toThrow('exists already');
    expect(existsSync(ptyPath)).toBe(false);
    expect(runningBenches()).toEqual([]);
  });
});

describe('a running bench', () => {
  it('is known on this machine until it stops', async () => {
    const server = await start();
    expect(runningBenches().map((bench) => bench.door)).toContain(server.at.door);
    await askBench(server.at.door, { do: 'stop' });
    await server.stopped;
    expect(runningBenches()).toEqual([]);
    await expect(askBench(server.at.door, { do: 'state' })).rejects.toThrow(NoBench);
  });

  it('stops in the middle of a run', async () => {
    const server = await start();
    const run = ask(server, { do: 'run', forS: 300 * 24 * HOUR_S });
    await askBench(server.at.door, { do: 'stop' });
    await server.stopped;
    expect((await run.catch(() => null))?.state.timeS ?? 0).toBeLessThan(300 * 24 * HOUR_S);
  });

  it('refuses a port that is taken, and leaves nothing behind', async () => {
    const server = await start();
    const again = serveBench({ ...QUIET, linkPort: portOf(server.at.link) });
    await expect(again).rejects.toMatchObject({ code: 'EADDRINUSE' });
    expect(runningBenches()).toHaveLength(1);
  });
});
