/** What a grower meets with at ports, benches and restarts, and what the program says and ends with. */
import { spawnSync } from 'node:child_process';
import { rmSync, writeFileSync } from 'node:fs';
import { connect as connectTo, type Socket } from 'node:net';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Client } from '../../cli/link/client';
import { connect } from '../../cli/link/connect';
import { listen } from '../../firmware/bench/server/listen';
import { json, type ProcessBench, Program, unwrapped } from './program';

const hasSocat = spawnSync('socat', ['-V']).error === undefined;

let program: Program;
let bench: ProcessBench;
const device = (): string => join(program.home, 'tray');

beforeAll(async () => {
  program = await Program.built();
  bench = await program.startBench(...(hasSocat ? ['--pty', device()] : []));
  await bench.wait(60);
});
afterAll(async () => {
  await program.end();
});

/** Asks the board over its link, as a program beside it. */
async function asked<T>(ask: (client: Client) => T | Promise<T>): Promise<T> {
  const client = await connect(bench.at.link);
  try {
    return await ask(client);
  } finally {
    await client.close();
  }
}

/** For what is waited out in full before the program gives up. */
const HURRIED = { TRAYWARD_TIMEOUT_FACTOR: '0.25' };

/** Holds a port of the link as another program does. */
async function hold(port: string): Promise<Socket> {
  const socket = connectTo(Number(port.replace(/^.*:/, '')), '127.0.0.1');
  await new Promise((resolve) => socket.once('connect', resolve));
  return socket;
}

describe('a port', () => {
  it.each([
    ['tcp://127.0.0.1:1', 3, 'nothing listens there'],
    ['/dev/no-such-port', 3, 'There is no port'],
    ['/dev/null', 3, 'no serial port'],
    ['http://127.0.0.1', 2, 'is no port'],
    ['tcp://127.0.0.1', 2, 'is no address'],
  ])('%s is told as not there', async (port, exitCode, words) => {
    const { code, stderr } = await program.runHere(['--port', port, 'status']);
    expect(code).toBe(exitCode);
    expect(unwrapped(stderr)).toContain(words);
    expect(unwrapped(stderr)).toContain('trayward find');
  });

  it('that other programs hold is told as in use', async () => {
    const others = [await hold(bench.at.link), await hold(bench.at.link)];
    const taken = await program.runHere(['--port', bench.at.link, '--json', 'status']);
    for (const other of others) other.destroy();
    expect(taken.code).toBe(3);
    expect(json(taken).error).toMatchObject({ kind: 'no-controller', reason: 'in-use' });
  });

  it('that is the only one, and held, is told as in use also when none is named', async () => {
    const others = [await hold(bench.at.link), await hold(bench.at.link)];
    const ended = [
      await program.runHere(['--json', 'status']),
      await program.runHere(['--json', 'find']),
    ];
    for (const other of others) other.destroy();
    for (const taken of ended) {
      expect(taken.code).toBe(3);
      expect(json(taken).error).toMatchObject({ kind: 'no-controller', reason: 'in-use' });
    }
  });

  it.skipIf(!hasSocat)('that is a serial device in use is told as such', async () => {
    const watching = program.spawn(['--port', device(), '--json', 'watch']);
    await new Promise((resolve) => watching.stdout?.once('data', resolve));
    const taken = await program.run(['--port', device(), '--json', 'status']);
    watching.kill('SIGINT');
    const code = await new Promise((resolve) => watching.once('exit', resolve));
    expect(code).toBe(0);
    expect(taken.code).toBe(3);
    expect(json(taken).error.reason).toBe('in-use');
    expect((await program.runHere(['--port', device(), 'status'])).code).toBe(0);
  });

  it('with a device that is not ours is left alone', async () => {
    const heard: string[] = [];
    const stranger = await listen(0, (socket) => {
      socket.on('data', (bytes: Buffer) => {
        heard.push(bytes.toString());
        socket.end('HTTP/1.1 400 Bad Request\r\n\r\n');
      });
    });
    const port = `tcp://127.0.0.1:${stranger.port}`;
    const { code, stderr } = await program.runHere(['--port', port, 'mark', 'soaked']);
    await stranger.close();
    expect(code).toBe(3);
    expect(unwrapped(stderr)).toContain('HTTP/1.1 400');
    expect(heard.join('')).not.toContain('mark');
  });

  it('that a bench wants and another has is refused', async () => {
    const [, port = ''] = /:(\d+)$/.exec(bench.at.link) ?? [];
    const second = await program.runHere(['--json', 'bench', 'start', '--listen', port]);
    expect(second.code).toBe(1);
    expect(json(second).error.reason).toBe('port-in-use');
    if (!hasSocat) return;
    const words = ['--json', 'bench', 'start', '--listen', '0', '--pty', device()];
    expect(json(await program.runHere(words)).error.reason).toBe('no-pty');
  });

  it.each(['--pty', '--pty-uart'])(
    'of a bench with %s needs socat, and says so',
    async (option) => {
      const words = ['bench', 'start', '--listen', '0', option, join(program.home, 'none')];
      const { code, stderr } = await program.run(words, { env: { PATH: program.home } });
      expect(code).toBe(1);
      expect(unwrapped(stderr)).toContain('needs the program socat, which is not installed');
      expect(unwrapped(stderr)).toContain('without --pty');
    },
  );
});

describe('a controller that restarts during a command', () => {
  async function powerFails(forS: number): Promise<void> {
    await bench.fault('mains-cut', forS);
    await bench.wait(forS + 1);
  }

  it('ends the calibration of the scale, and nothing was changed', async () => {
    const ended = await program.run(
      ['--port', bench.at.link, 'scale', 'calibrate', '--weight', '5kg', '--cell', '10kg'],
      { deeds: { 'Put the known weight': () => powerFails(0.2) } },
    );
    expect(ended.code).toBe(1);
    expect(unwrapped(ended.stderr)).toContain('restarted during the command');
    expect(unwrapped(ended.stderr)).toContain('trayward status');
    const history = await asked((client) => client.call('scale.history', {}));
    expect(history.calibrations).toEqual([]);
  });

  /** Calibrates the scale; when the program waits for the weight, something happens instead. */
  const calibrateUntil = (port: string, happens: () => unknown) =>
    program.runHere(['--port', port, 'scale', 'calibrate', '--weight', '5kg', '--cell', '10kg'], {
      deeds: { 'Put the known weight': happens },
      env: HURRIED,
    });

  it('and stays without mains is told as silent, with what to look at', async () => {
    const { code, stderr } = await calibrateUntil(bench.at.link, () =>
      bench.fault('mains-cut', 3600),
    );
    await bench.ask({ do: 'fault', name: 'mains-cut', on: false });
    await bench.wait(10);
    expect(code).toBe(1);
    expect(unwrapped(stderr)).toContain('stopped answering during the command');
    expect(unwrapped(stderr)).toContain('Check the cable and the power');
  });

  it('does not hurt a bench that goes away during a command', async () => {
    const brief = await program.startBench();
    const { code, stderr } = await calibrateUntil(brief.at.link, () => brief.stop());
    expect(code).toBe(1);
    expect(unwrapped(stderr)).toContain('was cut during the command');
  });
});

describe('a machine without udev', () => {
  it('finds its controllers all the same', async () => {
    const { code, stdout } = await program.run(['--json', 'find'], { env: { PATH: program.home } });
    expect(code).toBe(0);
    expect(JSON.parse(stdout).result.controllers).toMatchObject([{ port: bench.at.link }]);
  });
});

describe('a watch', () => {
  const lines = (stdout: string) =>
    stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));

  it('goes on by itself when the controller restarts', async () => {
    const before = await asked(({ hello }) => hello.boot);
    const { code, stdout } = await program.run(
      ['--port', bench.at.link, '--json', 'watch', '--times', '4'],
      {
        start: async () => {
          await bench.fault('mains-cut', 0.2);
          await bench.wait(2);
        },
        env: HURRIED,
      },
    );
    expect(code).toBe(0);
    const seen = lines(stdout).filter((line) => 'event' in line);
    expect(seen).toEqual([
      { event: 'lost', reason: expect.stringMatching(/restarted|silent/) },
      { event: 'back', restarted: true, boot: before + 1 },
    ]);
    expect(lines(stdout).filter((line) => 'uptimeMs' in line)).toHaveLength(4);
    expect(lines(stdout).at(-1)).toEqual({ ok: true, result: { readings: 4 } });
  });

  it('of a bench that is gone waits for it, takes up its successor, and ends at Ctrl-C', async () => {
    const first = await program.startBench('--seed', '5');
    await first.wait(60);
    const [port = ''] = /\d+$/.exec(first.at.link) ?? [];
    const watching = program.spawn(['--port', first.at.link, 'watch'], HURRIED);
    let said = '';
    const heard = (words: string): Promise<void> =>
      new Promise((resolve) => {
        watching.stdout?.on('data', (data: Buffer) => {
          said += data.toString();
          if (said.includes(words)) resolve();
        });
      });
    await heard('Root zone');
    const lost = heard('Trying to reach it again.');
    await first.stop();
    await lost;
    const back = heard('The controller is back; it restarted');
    await program.startBench('--seed', '5', '--listen', port);
    await back;
    const ended = new Promise((resolve) => watching.once('exit', resolve));
    watching.kill('SIGINT');
    expect(await ended).toBe(0);
  });
});

describe('words', () => {
  it('in the environment are checked too', async () => {
    for (const env of [{ TRAYWARD_TIMEOUT_FACTOR: 'much' }, { TRAYWARD_UNITS: 'cubits' }]) {
      const { code, stderr } = await program.run(['--port', bench.at.link, 'status'], { env });
      expect(code).toBe(2);
      expect(stderr).toContain(Object.keys(env)[0]);
    }
  });

  it('are answered in JSON alone when JSON is asked for, even when none of them is a verb', async () => {
    const { code, stdout, stderr } = await program.runHere(['--json', 'profile']);
    expect(code).toBe(2);
    expect(JSON.parse(stdout).error).toMatchObject({ kind: 'usage', reason: 'no-verb' });
    expect(stderr).toBe('');
  });
});

describe('a second pull of the same journal', () => {
  it('is refused while the first runs; a lock left by a dead one is taken over', async () => {
    const folder = join(program.home, 'locked');
    const words = ['--port', bench.at.link, '--json', 'journal', 'pull', '--store', folder];
    expect((await program.runHere(words)).code).toBe(0);
    const lock = join(folder, bench.at.boardId, 'lock');
    writeFileSync(lock, `${process.pid}\n`);
    // By a process of its own: the lock names this one.
    const second = await program.run(words);
    expect(second.code).toBe(1);
    expect(json(second).error.reason).toBe('pull-under-way');
    rmSync(lock);
    writeFileSync(lock, '999999999\n');
    expect((await program.runHere(words)).code).toBe(0);
  });
});
