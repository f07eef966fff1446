/** The built keeper as a grower runs it: it shares its ports, refuses a second one, and outlives kill -9. */
import type { ChildProcess } from 'node:child_process';
import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { json, type ProcessBench, Program, unwrapped } from '../cli/program';
import { FRESH_SEED } from '../properties';
import { Receiver } from './servers';

let program: Program;
let bench: ProcessBench;
let receiver: Receiver;
beforeAll(async () => {
  program = await Program.built();
  // USB and UART0 each at a port of its own, for one program at a time.
  bench = await program.startBench('--listen-uart', '0');
  receiver = await Receiver.start();
  await bench.wait(60);
  writeFileSync(join(program.home, 'secret'), 'hook-secret\n', { mode: 0o600 });
});
afterAll(async () => {
  await receiver.stop();
  await program.end();
});

/** A keeper's file of the bench's tray, under a name. */
function fileOf(name: string, port = bench.at.link): string {
  const path = join(program.home, `${name}.yaml`);
  writeFileSync(
    path,
    `trayward-keep: 1
name: ${name}
trays:
  - { name: Pepper, port: "${port}" }
doors:
  - { name: hook, kind: webhook, url: "${receiver.url}", secret: { file: secret } }
tell:
  - { who: Ann, door: hook, what: alarms }
`,
  );
  return path;
}

const keepers: ChildProcess[] = [];
afterEach(() => {
  for (const keeper of keepers.splice(0)) keeper.kill('SIGKILL');
});

/** A keeper that runs, once it has looked at its trays. */
async function started(file: string): Promise<ChildProcess> {
  const child = program.spawn(['--json', 'keep', 'start', file, '--until-stdin-closes']);
  keepers.push(child);
  await new Promise<void>((resolve, reject) => {
    child.once('exit', (code) => reject(new Error(`the keeper ended with ${code}`)));
    if (child.stdout !== null)
      createInterface({ input: child.stdout }).once('line', () => resolve());
  });
  return child;
}

/** The exit code of a keeper whose standard input is closed. */
function stopped(child: ChildProcess): Promise<number | null> {
  return new Promise((resolve) => {
    child.once('exit', (code) => resolve(code));
    child.stdin?.end();
  });
}

describe('a keeper that runs', () => {
  it('shares its port: other commands go through it, some at a time, and find no port in use', async () => {
    const keeper = await started(fileOf('shared'));
    const asked = await Promise.all(
      ['status', 'alarm list', 'mark note a lamp', 'status'].map((words) =>
        program.run(['--json', '--port', bench.at.link, ...words.split(' ')]),
      ),
    );
    expect(asked.map(({ code }) => code)).toEqual([0, 0, 0, 0]);
    const status = ['--json', 'keep', 'status', join(program.home, 'shared.yaml')];
    const state = await program.runHere(status);
    expect(json(state).result).toMatchObject({
      name: 'shared',
      trays: [{ name: 'Pepper', boardId: bench.at.boardId, port: bench.at.link, why: null }],
    });
    expect(await stopped(keeper)).toBe(0);
    expect((await program.runHere(['--port', bench.at.link, 'status'])).code).toBe(0);
  });

  it('refuses a second keeper on its tray, at whichever door, and says who the first is', async () => {
    const keeper = await started(fileOf('first'));
    const same = await program.run(['keep', 'start', join(program.home, 'first.yaml')]);
    expect(same.code).toBe(1);
    expect(unwrapped(same.stderr)).toContain(
      `The room "first" is kept already by another keeper, process ${keeper.pid}`,
    );
    const second = await program.runHere(['keep', 'start', fileOf('second')]);
    expect(second.code).toBe(1);
    expect(unwrapped(second.stderr)).toContain(
      `The port ${bench.at.link} is kept already by another keeper, process ${keeper.pid}`,
    );
    const third = await program.runHere(['keep', 'start', fileOf('third', bench.at.uart ?? '')]);
    expect(third.code).toBe(1);
    expect(unwrapped(third.stderr)).toContain(
      `Controller ${bench.at.boardId} is kept already by another keeper, process ${keeper.pid}`,
    );
    await stopped(keeper);
  });

  it('is told as not there when none runs', async () => {
    const { code, stderr } = await program.runHere(['keep', 'status', fileOf('none')]);
    expect(code).toBe(3);
    expect(unwrapped(stderr)).toContain('No keeper of "none" answers on this computer');
  });
});

describe('open doors', () => {
  /** A keeper's file with `/metrics` at a port; 0: any. */
  function withMetrics(name: string, port: number): string {
    const path = fileOf(name);
    const open = `metrics: { listen: "127.0.0.1:${port}" }\n`;
    writeFileSync(path, readFileSync(path, 'utf8').replace('trays:', `${open}trays:`));
    return path;
  }

  it('tell figures at the address that `keep status` shows, and where that is taken nothing starts', async () => {
    const file = withMetrics('figures', 0);
    const keeper = await started(file);
    const { result } = json(await program.runHere(['--json', 'keep', 'status', file]));
    const text = await (await fetch(result.open.metrics)).text();
    expect(text).toContain('trayward_tray_heard{tray="Pepper"} 1');
    const port = Number(new URL(result.open.metrics).port);
    const second = await program.runHere(['keep', 'start', withMetrics('taken', port)]);
    expect(second.code).toBe(1);
    expect(unwrapped(second.stderr)).toContain(
      `/metrics cannot be had at 127.0.0.1:${port}. Another program listens there.`,
    );
    await stopped(keeper);
  });
});

describe('kill -9', () => {
  it('loses no alarm and sends none again that was acknowledged', async () => {
    const file = fileOf('killed');
    console.log(`kills at random points: seed ${FRESH_SEED}`);
    let random = FRESH_SEED;
    const next = (below: number): number => {
      random = (random * 1_103_515_245 + 12_345) % 2 ** 31;
      return random % below;
    };
    await stopped(await started(file));
    receiver.posts.splice(0);
    await bench.fault('probe-open', 600);
    await bench.wait(30);
    for (let kill = 0; kill < 5; kill++) {
      const child = program.spawn(['keep', 'start', file]);
      const gone = new Promise((resolve) => child.once('exit', resolve));
      await new Promise((resolve) => setTimeout(resolve, 150 + next(900)));
      child.kill('SIGKILL');
      await gone;
    }
    const last = await started(file);
    await expect.poll(() => receiver.posts.length, { timeout: 10_000 }).toBeGreaterThan(0);
    const state = await program.runHere(['--json', 'keep', 'status', file]);
    await stopped(last);
    expect(json(state).result.outbox.waiting).toBe(0);
    const about = receiver.subjects.filter((one) => one.includes('root-zone probe open'));
    const ids = receiver.posts.map(({ headers }) => headers['webhook-id']);
    expect(new Set(about).size).toBe(1);
    // One that was sent and whose acknowledgement was not written yet may come again, under the same id.
    expect(new Set(ids).size).toBe(new Set(receiver.subjects).size);
  });
});

describe('a file that is wrong', () => {
  it('is refused with all its mistakes, each with its place, and nothing is started', async () => {
    const path = fileOf('wrong');
    const text = readFileSync(path, 'utf8')
      .replace('door: hook', 'door: hok')
      .replace('file: secret', 'file: open-secret')
      .replace('name: Pepper, port', 'nmae: Pepper, port');
    writeFileSync(path, text);
    writeFileSync(join(program.home, 'open-secret'), 'hook-secret');
    chmodSync(join(program.home, 'open-secret'), 0o644);
    const { code, stderr } = await program.runHere(['keep', 'start', path]);
    const told = unwrapped(stderr);
    expect(code).toBe(2);
    expect(told).toContain('There are 4 mistakes');
    expect(told).toMatch(
      /wrong\.yaml:4:\d+: error: trays\[0\]\.nmae There is no key "nmae" here\. Did you mean "name"\?/,
    );
    expect(told).toMatch(/wrong\.yaml:4:\d+: error: trays\[0\]\.name This is missing/);
    expect(told).toMatch(
      /wrong\.yaml:6:\d+: error: doors\[0\]\.secret Others can read .*chmod 600/,
    );
    expect(told).toMatch(
      /wrong\.yaml:8:\d+: error: tell\[0\]\.door = hok There is no door "hok"\. Did you mean "hook"\?/,
    );
    expect(told).not.toContain('hook-secret');
    expect(existsSync(join(program.home, '.local/share/trayward/keep/wrong'))).toBe(false);
  });

  it('never has a secret quoted that was written into it', async () => {
    const path = fileOf('plain');
    const text = readFileSync(path, 'utf8').replace(
      '{ file: secret }',
      'tell-nobody-7, passwd: tell-nobody-8',
    );
    writeFileSync(path, text);
    const { code, stderr, stdout } = await program.runHere(['--json', 'keep', 'check', path]);
    expect(code).toBe(2);
    expect(stdout + stderr).toContain('A secret is never written here');
    expect(stdout + stderr).not.toContain('tell-nobody');
  });
});
