/** The whole job with the bench in a process of its own, and what the built program is by itself; and its journals. */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HOUR_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { Program } from './program';
import { uartDevice } from './uart-device';
import { type Way, wholeJob } from './whole-job';
import { runIn, worldAt } from './worlds';

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
    here: false,
    skipped: false,
    limitMs: STEP_LIMIT_MS,
  },
  {
    over: 'a serial device',
    words: ({ home }) => ['--pty', join(home, 'tray')],
    port: ({ at }) => at.pty ?? '',
    here: true,
    skipped: !hasSocat,
    limitMs: STEP_LIMIT_MS,
  },
];
for (const way of WAYS) wholeJob(() => program, way);
uartDevice(() => program, {
  over: 'of the firmware in a process',
  words: () => [],
  here: false,
  skipped: !hasSocat,
  limitMs: STEP_LIMIT_MS,
});

describe('the built program', () => {
  it('has parts that load, each of them: a command loads those it needs', () => {
    const folder = dirname(program.path);
    const parts = new Set(['trayward.mjs']);
    for (const part of parts) {
      const text = readFileSync(join(folder, part), 'utf8');
      // The program names them by its own place, a part by that of the parts.
      for (const [, name] of text.matchAll(/["'](?:\.\/parts|\.)\/([\w.-]+\.mjs)["']/g)) {
        parts.add(`parts/${name}`);
      }
    }
    parts.delete('trayward.mjs');
    expect(parts.size).toBeGreaterThan(100);
    const load = 'for (const part of process.argv.slice(1)) await import(part);';
    const paths = [...parts].map((part) => join(folder, part));
    const words = ['--input-type=module', '-e', load, ...paths];
    const { status, stderr } = spawnSync(process.execPath, words, { encoding: 'utf8' });
    expect(stderr).toBe('');
    expect(status).toBe(0);
  });
});

describe('a journal that was pulled', () => {
  const store = (): string[] => ['--store', join(program.home, 'days')];
  const grower = new Grower();
  beforeAll(async () => {
    // No reading falls on midnight, which is the end of the one day and the beginning of the other.
    grower.call('clock.set', { unixMs: grower.bench.unixMs + 100_000 });
    // A whole second day and a bit of a third, whenever the first began.
    grower.bench.run(49 * HOUR_MS);
    const pulled = await runIn(worldAt(grower, {}), ['journal', 'pull', ...store()]);
    expect(pulled.code).toBe(0);
  });

  it('is chosen from by days and times of this place', async () => {
    const env = { TZ: 'Pacific/Kiritimati' };
    const show = async (...more: string[]) =>
      (await program.run(['journal', 'show', ...store(), ...more], { env })).stdout.trim();
    const days = (text: string) => [...new Set(text.match(/^\d{4}-\d\d-\d\d/gm))];
    const [, second = '', third = ''] = days(await show());
    expect(days(await show('--since', second, '--until', third))).toEqual([second]);
    const morning = await show('--since', `${second} 06:00`, '--until', `${second}T07:00`);
    expect(morning.split('\n')[0]).toMatch(new RegExp(`^${second} 06:0`));
    // A reading every five minutes; one more when they fall on the hour.
    expect([12, 13]).toContain(morning.split('\n').length);
  });

  it('is not asked for a kind of entry that does not exist', async () => {
    const wrong = await program.runHere(['journal', 'show', '--kind', 'alarms', ...store()]);
    expect(wrong.code).toBe(2);
    expect(wrong.stderr).toContain('"alarm"');
  });

  it('is not kept where a file stands, or on a full disk', async () => {
    const file = join(program.home, 'a-file');
    writeFileSync(file, '');
    const pulled = await runIn(worldAt(grower, {}), ['journal', 'pull', '--store', file]);
    expect(pulled.code).toBe(2);
    expect(pulled.stderr).toContain(file);
    if (!existsSync('/dev/full')) return;
    const full = await program.runHere(['journal', 'export', '--out', '/dev/full', ...store()]);
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
