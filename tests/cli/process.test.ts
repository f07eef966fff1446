/** The whole job, with the built program in one process and the bench in another. */
import { spawnSync } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Program } from './program';
import { uartDevice } from './uart-device';
import { type Way, wholeJob } from './whole-job';

const HOUR_S = 3600;
const STEP_LIMIT_MS = 60_000;

const hasSocat = spawnSync('socat', ['-V']).error === undefined;
if (!hasSocat) {
  process.stderr.write(
    '\nSKIPPED: the program over a serial device. Install socat to test it.\n\n',
  );
}

let program: Program;
beforeAll(async () => {
  program = await Program.built();
});
afterAll(async () => {
  await program.end();
});

const WAYS: readonly Way[] = [
  {
    over: 'TCP',
    words: () => [],
    port: ({ at }) => at.link,
    skipped: false,
    limitMs: STEP_LIMIT_MS,
  },
  {
    over: 'a serial device',
    words: ({ home }) => ['--pty', join(home, 'tray')],
    port: ({ at }) => at.pty ?? '',
    skipped: !hasSocat,
    limitMs: STEP_LIMIT_MS,
  },
];
for (const way of WAYS) wholeJob(() => program, way);
uartDevice(() => program, {
  over: 'of the firmware in a process',
  words: () => [],
  skipped: !hasSocat,
  limitMs: STEP_LIMIT_MS,
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

  it.skipIf(!existsSync('/dev/full'))('that cannot be written out is no success', async () => {
    const shown = spawnSync(
      'sh',
      ['-c', `"$0" "$1" hardware check >/dev/full`, process.execPath, program.path],
      {
        encoding: 'utf8',
      },
    );
    expect(shown.status).toBe(1);
    expect(shown.stderr).toContain('the output could not be written');
    const cut = spawnSync(
      'sh',
      ['-c', `"$0" "$1" profile schema | head -n 1`, process.execPath, program.path],
      {
        encoding: 'utf8',
      },
    );
    expect(cut.stderr).toBe('');
  });
});
