/** `trayward bench ...` as a grower types it, against a bench started the same way. */

import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { World } from '../../cli/context';
import { main } from '../../cli/main';
import { benchName, runningBenches } from '../../shared/host/benches';
import { unwrapped } from './program';
import { worldOf as emptyWorld } from './worlds';

const usualTmp = process.env.TMPDIR;
let folder = '';

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-cli-test-'));
  process.env.TMPDIR = folder;
});

afterAll(() => {
  if (usualTmp === undefined) delete process.env.TMPDIR;
  else process.env.TMPDIR = usualTmp;
  rmSync(folder, { recursive: true });
});

interface Said {
  out: string;
  err: string;
}

const MORNING = Date.UTC(2026, 2, 1, 8);

function worldOf(said: Said, interrupt: AbortSignal): World {
  return emptyWorld({
    stdout: { write: (text) => (said.out += text) },
    stderr: { write: (text) => (said.err += text) },
    now: () => MORNING,
    interrupt,
  });
}

async function trayward(...args: string[]): Promise<Said & { code: number }> {
  const said = { out: '', err: '' };
  const code = await main(args, worldOf(said, new AbortController().signal));
  return { ...said, code };
}

/** Runs `work` beside `bench start`, then stops the bench with Ctrl-C; returns what it said. */
async function besideBench(args: readonly string[], work: () => Promise<void>) {
  const said = { out: '', err: '' };
  const abort = new AbortController();
  const world = worldOf(said, abort.signal);
  let started = (): void => {};
  const begun = new Promise<void>((resolve) => {
    started = resolve;
  });
  const ended = main(['bench', 'start', '--listen', '0', '--speed', '0', ...args], {
    ...world,
    stdout: {
      write: (text) => {
        said.out += text;
        started();
      },
    },
  });
  await Promise.race([begun, ended]);
  try {
    await work();
  } finally {
    abort.abort();
  }
  const code = await ended;
  return { ...said, code };
}

describe('with several benches', () => {
  it('the one is driven whose controller --port names, and none where that is another board', async () => {
    await besideBench([], async () => {
      const [older] = runningBenches();
      if (older === undefined) throw new Error('no bench');
      await besideBench(['--door', '0'], async () => {
        const run = await trayward('--port', older.link, 'bench', 'run', '1', 'h');
        expect(run.code).toBe(0);
        const timeS = async (...where: string[]): Promise<number> =>
          JSON.parse((await trayward('--json', ...where, 'bench', 'state')).out).result.state.timeS;
        expect(await timeS('--port', older.link)).toBe(3_600);
        const [newest] = runningBenches().filter(({ link }) => link !== older.link);
        if (newest === undefined) throw new Error('no second bench');
        expect(await timeS('--port', newest.link)).toBe(0);
        const stranger = await trayward('--port', '/dev/ttyACM7', 'bench', 'hand', 'soak');
        expect(stranger.code).toBe(3);
        expect(stranger.err).toContain('/dev/ttyACM7');
      });
    });
  });

  it.each([
    ['hand', 'soak'],
    ['run', '1', 'h'],
    ['fault', 'siphon'],
    ['state'],
    ['speed', '2'],
    ['stop'],
  ])('none is guessed: bench %s asks which, and names them', async (...words) => {
    await besideBench([], async () => {
      await besideBench([], async () => {
        const { code, err } = await trayward('bench', ...words);
        expect(code).toBe(2);
        for (const bench of runningBenches()) expect(err).toContain(benchName(bench));
        expect(err).toContain('--bench');
      });
    });
  });

  const boardsOf = (): string[] => runningBenches().map(({ boardId }) => boardId);

  it('each has a board of its own, and so a journal of its own, unless both are given one seed', async () => {
    await besideBench([], async () => {
      const { err } = await besideBench([], async () => {
        expect(new Set(boardsOf()).size).toBe(2);
      });
      expect(err).not.toContain('board');
    });
    await besideBench(['--seed', '7'], async () => {
      const [older] = runningBenches();
      if (older === undefined) throw new Error('no bench');
      const { err } = await besideBench(['--seed', '7'], async () => {
        expect(new Set(boardsOf())).toEqual(new Set(['e661000000000007']));
      });
      expect(unwrapped(err)).toContain(`The bench ${benchName(older)} has the same seed`);
    });
  });

  it('each goes by the name that `bench start` says, or by its address', async () => {
    await besideBench([], async () => {
      const [older] = runningBenches();
      if (older === undefined) throw new Error('no bench');
      const second = await besideBench([], async () => {
        for (const named of [benchName(older), older.link, older.door]) {
          await trayward('bench', 'run', '1', 'h', '--bench', named);
        }
      });
      expect(second.out).toMatch(/--bench \d+\n/);
      expect(second.out).not.toContain(`--bench ${benchName(older)}`);
      const { out } = await trayward('--json', 'bench', 'state');
      expect(JSON.parse(out).result.state.timeS).toBe(3 * 3_600);
      const unknown = await trayward('bench', 'state', '--bench', 'north');
      expect(unknown.code).toBe(3);
      expect(unknown.err).toContain(`There is ${benchName(older)}.`);
    });
  });
});

describe('bench start', () => {
  it('says what it is and how to connect, and ends well at Ctrl-C', async () => {
    const bench = await besideBench([], async () => {});
    expect(bench.out).toContain('simulated tray');
    expect(bench.out).toMatch(/trayward --port tcp:\/\/127\.0\.0\.1:\d+ status/);
    expect(bench.out).toContain('The bench has stopped.');
    expect(bench.code).toBe(0);
  });

  it('says the same to programs, one object when it starts and one when it ends', async () => {
    const bench = await besideBench(['--json', '--seed', '9'], async () => {
      await trayward('bench', 'run', '1', 'h');
    });
    const [first = '', last = ''] = bench.out.trim().split('\n');
    expect(JSON.parse(first)).toMatchObject({
      ok: true,
      result: { event: 'started', seed: 9, link: expect.stringMatching(/^tcp:/), pty: null },
    });
    expect(JSON.parse(last)).toEqual({ ok: true, result: { event: 'stopped', timeS: 3600 } });
  });

  it.each([
    [['--speed', 'fast'], 'speed'],
    [['--seed', '-1'], 'seed'],
    [['--room', '18'], 'unit'],
    [['--room', '180 C'], 'plausible'],
    [['--cell', '5 C'], 'unit'],
    [['--crop', 'oak'], 'oak'],
    [['--listen-uart', '0', '--pty-uart', 'uart'], '--listen-uart'],
  ])('refuses %j as wrong usage', async (args, names) => {
    const { code, err } = await trayward('bench', 'start', '--listen', '0', ...args);
    expect(code).toBe(2);
    expect(err).toContain(names);
  });

  it('refuses a port that another program holds, and says what to do', async () => {
    const other = createServer();
    await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve));
    const address = other.address();
    const port = typeof address === 'object' ? String(address?.port) : '';
    const { code, err } = await trayward('bench', 'start', '--listen', port);
    expect(code).toBe(1);
    expect(err).toContain(port);
    expect(err).toContain('--listen');
    other.close();
  });
});

describe('a running bench', () => {
  it('lets time pass, takes the hand and the faults, and says how it stands', async () => {
    await besideBench([], async () => {
      const soaked = await trayward('bench', 'hand', 'soak');
      expect(soaked.code).toBe(0);
      expect(soaked.out).toContain('dry-back');
      await trayward('bench', 'hand', 'lid', 'closed');
      const cut = await trayward('bench', 'fault', 'mains-cut', '--for', '2 h');
      expect(cut.out).toContain('no mains');
      expect(cut.out).toContain('mains-cut (2 h left)');
      const later = JSON.parse((await trayward('bench', 'run', '2 h 30 min', '--json')).out);
      expect(later.result.state).toMatchObject({ timeS: 9000, powered: true, lid: 'closed' });
      const weighed = await trayward('bench', 'hand', 'put-weight', '1', 'kg', '--json');
      const { scale, tray } = JSON.parse(weighed.out).result.state;
      expect(scale.loadG - tray.massG).toBeCloseTo(1000, 6);
    });
  });

  it('has the tray of a profile: its pieces, its matting, its reservoir, and its crop', async () => {
    const profile = 'shared/crops/lettuce.yaml';
    await besideBench(['--profile', profile, '--json'], async () => {
      await trayward('bench', 'hand', 'put-tray');
      const state = async () =>
        JSON.parse((await trayward('--json', 'bench', 'state')).out).result.state;
      const { tray, pump } = await state();
      // 98 plugs of 3.63 g of wool, 60 g of matting, and the tray itself.
      expect(tray.dryG).toBeCloseTo(180 + 355.6 + 60, 0);
      expect(pump.reservoirMl).toBe(4_000);
      // Lettuce comes up within a week at 18 C, pepper does not.
      for (const words of [['soak'], ['sow'], ['lid', 'closed']])
        await trayward('bench', 'hand', ...words);
      await trayward('bench', 'run', '7 d');
      expect((await state()).plants.emergedShare).toBeGreaterThan(0.9);
    });
    const { code, err } = await trayward('bench', 'start', '--profile', 'nowhere.yaml');
    expect(code).not.toBe(0);
    expect(err).toContain('nowhere.yaml');
  });

  it('refuses what nobody can do, without changing anything', async () => {
    await besideBench([], async () => {
      expect((await trayward('bench', 'run', '3', 'moons')).code).toBe(2);
      expect((await trayward('bench', 'hand', 'whistle')).code).toBe(2);
      expect((await trayward('bench', 'fault', 'earthquake')).code).toBe(2);
      expect((await trayward('bench', 'hand', 'put-weight', '1', 'l')).code).toBe(2);
      expect((await trayward('bench', 'hand', 'put-weight')).code).toBe(2);
      const { out } = await trayward('bench', 'state', '--json');
      expect(JSON.parse(out).result.state).toMatchObject({ timeS: 0, faults: [] });
    });
  });

  it('shows lamp and sounder as they are at that moment', async () => {
    await besideBench([], async () => {
      await trayward('bench', 'run', '1', 'h');
      expect((await trayward('bench', 'state')).out).toMatch(
        /lamp +(on|off) just now +sounder off/,
      );
    });
  });

  it('says of an NTC without its B that this is what is wanting', async () => {
    const { code, err } = await trayward('bench', 'start', '--listen', '0', '--ntc', '10k');
    expect(code).toBe(2);
    expect(unwrapped(err)).toContain('--ntc 10k is a resistance without a B. Give its resistance');
  });

  it('ends by `bench stop`', async () => {
    const bench = await besideBench([], async () => {
      expect((await trayward('bench', 'stop')).out).toContain('stopped');
    });
    expect(bench.code).toBe(0);
  });
});

describe('without a bench', () => {
  it('says so with exit code 3, and how to start one', async () => {
    const { code, err } = await trayward('bench', 'state');
    expect(code).toBe(3);
    expect(err).toContain('trayward bench start');
  });

  it('still lists what the hand can do and what can go wrong', async () => {
    expect((await trayward('bench', 'hand')).out).toContain('transplant');
    expect((await trayward('bench', 'fault')).out).toContain('siphon');
  });
});
