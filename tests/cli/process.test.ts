/** The whole job, with the built program in one process and the bench in another. */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Deeds, json, type ProcessBench, Program, unwrapped } from './program';

const PEPPER = 'shared/crops/pepper.yaml';
const LETTUCE = 'shared/crops/lettuce.yaml';
const HOUR_S = 3600;

const hasSocat = spawnSync('socat', ['-V']).error === undefined;
if (!hasSocat) {
  process.stderr.write(
    '\nSKIPPED: the program over a serial device. Install socat to test it.\n\n',
  );
}

let program: Program;
beforeAll(() => {
  program = new Program('process');
});
afterAll(async () => {
  await program.end();
});

describe.each([
  { over: 'TCP', pty: false, skipped: false },
  { over: 'a serial device', pty: true, skipped: !hasSocat },
])('a tray over $over', ({ pty, skipped }) => {
  let bench: ProcessBench;
  let port = '';
  const store = (): string[] => ['--store', join(program.home, `store-${pty}`)];

  beforeAll(async () => {
    if (skipped) return;
    const device = join(program.home, 'tray');
    const room = ['--seed', '11', '--room', '23 C'];
    bench = await program.startBench(...room, ...(pty ? ['--pty', device] : []));
    port = pty ? device : bench.at.link;
    await bench.wait(60);
  });

  const trayward = (...words: string[]) => program.run(['--port', port, ...words]);
  const withHands = (deeds: Deeds, ...words: string[]) =>
    program.run(['--port', port, ...words], { deeds });

  // In the order of the job: each step finds the tray as the one before has left it.

  it.skipIf(skipped)('calibrates the scale with a known weight, put on when asked', async () => {
    const small = await trayward(
      ...['--json', 'scale', 'calibrate', '--weight', '200g', '--cell', '10kg', '--tray', '4.6kg'],
    );
    expect(small.code).toBe(1);
    expect(json(small).error).toMatchObject({ kind: 'refused', reason: 'weight-too-small' });
    const done = await withHands(
      {
        'Put the known weight': () => bench.hand('put-weight', 5000),
        'Take the weight off': () => bench.hand('take-weight'),
      },
      ...['scale', 'calibrate', '--weight', '5kg', '--cell', '10kg', '--tray', '4.6kg'],
    );
    expect(done.stderr).not.toContain('Not done');
    expect(done.code).toBe(0);
    expect(done.stdout).toContain('The scale is calibrated.');
    const history = json(await trayward('--json', 'scale', 'check', '--history'));
    expect(history.result.calibrations).toHaveLength(1);
    expect(history.result.calibrations[0].massG).toBe(5000);
  });

  it.skipIf(skipped)('calibrates the pump on the scale', async () => {
    await bench.hand('put-jug');
    await bench.wait(60);
    expect((await trayward('pump', 'prime', '--yes')).stderr).toContain('Caution');
    const { code, stdout } = await trayward('--json', 'pump', 'calibrate', '--yes');
    expect(code).toBe(0);
    const { pump } = await bench.hand('take-jug');
    expect(JSON.parse(stdout).result.mlPerS / pump.mlPerS).toBeCloseTo(1, 1);
  });

  it.skipIf(skipped)('checks, loads, reads back and compares a profile', async () => {
    const checked = json(await trayward('--json', 'profile', 'check', PEPPER));
    const loaded = json(await trayward('--json', 'profile', 'load', PEPPER));
    expect(loaded.result.id).toBe(checked.result.id);
    const read = json(await trayward('--json', 'profile', 'read'));
    expect(read.result.id).toBe(checked.result.id);
    expect(read.result.profile.crop).toBe('pepper');
    const same = json(await trayward('--json', 'profile', 'compare', PEPPER));
    expect(same.result).toEqual({ same: true, differences: [] });
    const other = json(await trayward('--json', 'profile', 'compare', LETTUCE));
    expect(other.result.same).toBe(false);
    expect(other.result.differences[0]).toHaveProperty('board');
  });

  it.skipIf(skipped)('marks what the grower did', async () => {
    await bench.hand('put-tray');
    await bench.wait(300);
    expect((await trayward('mark', 'dry')).code).toBe(0);
    const light = await trayward('--units', 'us', 'mark', 'soaked', '--weight', '500g');
    expect(light.code).toBe(1);
    expect(unwrapped(light.stderr)).toMatch(
      /tray of 1\.10 lb does not go with a dry weight of 1\.\d+ lb/,
    );
    await bench.hand('soak');
    await bench.wait(HOUR_S);
    const soaked = json(await trayward('--json', 'mark', 'soaked'));
    expect(soaked.result).toMatchObject({ mark: 'soaked', trayG: expect.any(Number) });
    await bench.hand('sow');
    await bench.hand('lid', 'closed');
    await bench.wait(600);
    expect((await trayward('mark', 'sown', '--yes')).code).toBe(0);
    const again = await trayward('mark', 'sown');
    expect(again.code).toBe(2);
    expect(unwrapped(again.stderr)).toContain('--yes');
  });

  it.skipIf(skipped)('tells how the tray stands, in either units and to programs', async () => {
    await bench.wait(HOUR_S);
    expect((await trayward('status')).stdout).toMatch(/Root zone +[\d.]+ °C/);
    expect((await trayward('--units', 'us', 'status')).stdout).toMatch(/Root zone +[\d.]+ °F/);
    const env = { TRAYWARD_PORT: port, TRAYWARD_UNITS: 'us' };
    expect((await program.run(['status'], { env })).stdout).toMatch(/Tray +.* (oz|lb)/);
    const { result } = json(await trayward('--json', 'status'));
    expect(result.stage).toMatchObject({ index: 0, name: 'germinate', kind: 'hold' });
    expect(result.water).toMatchObject({ scale: 'ok', dayMl: 0 });
    const watched = await trayward('--json', 'watch', '--times', '2');
    const [first = '', second = '', last = ''] = watched.stdout.trim().split('\n');
    // Looking moves no bench: its time stands until somebody lets it run.
    expect(JSON.parse(second).uptimeMs).toBe(JSON.parse(first).uptimeMs);
    expect(JSON.parse(last)).toEqual({ ok: true, result: { readings: 2 } });
  });

  it.skipIf(skipped)('lists, accepts, shelves and clears an alarm', async () => {
    await bench.fault('probe-open', 60);
    await bench.wait(30);
    const list = json(await trayward('--json', 'alarm', 'list'));
    expect(list.result.alarms).toMatchObject([{ alarm: 'probe-open', state: 'unaccepted' }]);
    const early = await trayward('--json', 'alarm', 'clear', 'probe-open');
    expect(early.code).toBe(1);
    expect(json(early).error.kind).toBe('refused');
    expect((await trayward('alarm', 'accept', 'probe-open')).code).toBe(0);
    const shelved = json(await trayward('--json', 'alarm', 'shelve', 'probe-open', '--for', '2 h'));
    expect(shelved.result.shelvedS).toBe(2 * HOUR_S);
    await bench.wait(120);
    expect((await trayward('alarm', 'clear', 'probe-open')).code).toBe(0);
    expect((await trayward('alarm', 'list')).stdout).toBe('No alarm.\n');
  });

  it.skipIf(skipped)('pulls the journal once, shows and exports it', async () => {
    const first = json(await trayward('--json', 'journal', 'pull', ...store()));
    expect(first.result).toMatchObject({ boardId: bench.at.boardId, missing: 0, damaged: 0 });
    const again = json(await trayward('--json', 'journal', 'pull', ...store()));
    expect(again.result.stored).toBe(0);
    const shown = await program.run(['journal', 'show', '--alarms', ...store()]);
    expect(shown.stdout).toMatch(/^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d {2}Alarm raised: /);
    const lines = await program.run(['journal', 'export', '--format', 'jsonl', ...store()]);
    const all = lines.stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line).sequence);
    expect(all).toEqual(Array.from({ length: first.result.lastSequence }, (_, i) => i + 1));
    const out = join(program.home, `out-${pty}.csv`);
    const exported = ['journal', 'export', '--kind', 'mark', '--out', out, ...store()];
    expect(json(await program.run(['--json', ...exported])).result).toEqual({
      format: 'csv',
      count: 3,
      out,
    });
    expect(readFileSync(out, 'utf8').split('\r\n')).toHaveLength(5);
  });

  it.skipIf(skipped)('sets the clock, moves a stage on and keeps it', async () => {
    const { result } = json(await trayward('--json', 'clock', 'set'));
    expect(result.unixMs).toBe((await bench.ask({ do: 'state' })).unixMs);
    expect(json(await trayward('--json', 'stage', 'stay')).result).toEqual({ staying: true });
    expect(json(await trayward('--json', 'stage', 'next', '--yes')).result).toEqual({ stage: 1 });
    expect(json(await trayward('--json', 'status')).result.stage.index).toBe(1);
  });

  it.skipIf(skipped)('is still there when the line is noisy', async () => {
    await bench.fault('link-noise', HOUR_S);
    const read = await trayward('--json', 'profile', 'read');
    await bench.ask({ do: 'fault', name: 'link-noise', on: false });
    expect(json(read).result.profile.crop).toBe('pepper');
  });

  it.skipIf(skipped)('is found without its port, and the bench ends with its maker', async () => {
    const found = json(await program.run(['--json', 'find'])).result.controllers;
    expect(found).toMatchObject([{ port: bench.at.link, hello: { boardId: bench.at.boardId } }]);
    expect((await program.run(['status'])).code).toBe(0);
    expect(await bench.stop()).toBe(0);
    if (pty) expect(existsSync(port)).toBe(false);
    const nobody = await program.run(['--json', 'status']);
    expect(nobody.code).toBe(3);
    expect(json(nobody).error).toMatchObject({ kind: 'no-controller', reason: 'none-found' });
  });
});

describe('a journal that was pulled', () => {
  it('is chosen from by days and times of this place', async () => {
    const folder = join(program.home, 'days');
    const bench = await program.startBench();
    await bench.wait(3 * 24 * HOUR_S);
    const words = ['--port', bench.at.link, 'journal', 'pull', '--store', folder];
    expect((await program.run(words)).code).toBe(0);
    await bench.stop();
    const env = { TZ: 'Pacific/Kiritimati' };
    const show = async (...more: string[]) =>
      (await program.run(['journal', 'show', '--store', folder, ...more], { env })).stdout.trim();
    const days = (text: string) => [...new Set(text.match(/^\d{4}-\d\d-\d\d/gm))];
    const [, second = '', third = ''] = days(await show());
    expect(days(await show('--since', second, '--until', third))).toEqual([second]);
    const morning = await show('--since', `${second} 06:00`, '--until', `${second}T07:00`);
    expect(morning.split('\n')[0]).toMatch(new RegExp(`^${second} 06:0`));
    // A reading every five minutes; one more when they fall on the hour.
    expect([12, 13]).toContain(morning.split('\n').length);
  });

  it('is not asked for a kind of entry that does not exist', async () => {
    const folder = join(program.home, 'kinds');
    const bench = await program.startBench();
    const words = ['--port', bench.at.link, 'journal', 'pull', '--store', folder];
    expect((await program.run(words)).code).toBe(0);
    await bench.stop();
    const wrong = await program.run(['journal', 'show', '--kind', 'alarms', '--store', folder]);
    expect(wrong.code).toBe(2);
    expect(wrong.stderr).toContain('"alarm"');
  });

  it('is not kept where a file stands, or on a full disk', async () => {
    const file = join(program.home, 'a-file');
    writeFileSync(file, '');
    const bench = await program.startBench();
    const pulled = await program.run(['--port', bench.at.link, 'journal', 'pull', '--store', file]);
    expect(pulled.code).toBe(2);
    expect(pulled.stderr).toContain(file);
    const good = ['--store', join(program.home, 'good')];
    await program.run(['--port', bench.at.link, 'journal', 'pull', ...good]);
    if (!existsSync('/dev/full')) return;
    const full = await program.run(['journal', 'export', '--out', '/dev/full', ...good]);
    expect(full.code).toBe(1);
    expect(full.stderr).toContain('The disk is full.');
  });
});
