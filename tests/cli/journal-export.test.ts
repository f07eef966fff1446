/** The journal of a tray at work, pulled, shown and exported. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parquetReadObjects } from 'hyparquet';
import { describe, expect, it } from 'vitest';
import { HOUR_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { unwrapped } from './program';
import { runIn, worldAt } from './worlds';

/** Runs the program against a tray on the bench; returns its exit code and what it printed. */
const trayward = (grower: Grower, ...argv: string[]) => runIn(worldAt(grower, {}), argv);

describe('the journal of a tray', () => {
  it('pulls the journal once, shows why an alarm came, and exports it', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(HOUR_MS);
    grower.bench.fault('probe-open');
    grower.bench.run(HOUR_MS);
    const store = ['--store', mkdtempSync(join(tmpdir(), 'trayward-'))];
    const first = JSON.parse(
      (await trayward(grower, '--json', 'journal', 'pull', ...store)).stdout,
    );
    expect(first.result.stored).toBeGreaterThan(20);
    const again = JSON.parse(
      (await trayward(grower, '--json', 'journal', 'pull', ...store)).stdout,
    );
    expect(again.result.stored).toBeLessThan(3);
    const alarms = await trayward(grower, 'journal', 'show', '--alarms', ...store);
    expect(alarms.stdout).toMatch(/Alarm raised: .*probe/i);
    const dense = await trayward(grower, 'journal', 'show', '--kind', 'trace', ...store);
    expect(dense.stdout.split('\n').length).toBeGreaterThan(50);
    const bytes = ['journal', 'export', '--format', 'parquet', ...store];
    const shown = await trayward(grower, ...bytes);
    expect(shown).toMatchObject({ code: 2, stdout: '' });
    expect(shown.stderr).toContain('--out journal.parquet');
    const file = join(store[1] ?? '', 'journal.parquet');
    expect((await trayward(grower, ...bytes, '--out', file)).code).toBe(0);
    const rows = await parquetReadObjects({ file: new Uint8Array(readFileSync(file)).buffer });
    expect(rows.length).toBeGreaterThan(20);
    const none = await trayward(grower, 'journal', 'show', '--store', '/nonexistent');
    expect(none.code).toBe(1);
    const another = ['--controller', 'e661000000000099'];
    const stranger = await trayward(grower, 'journal', 'show', ...another, ...store);
    expect(stranger.code).toBe(1);
    expect(stranger.stderr).toContain(grower.bench.boardId);
  });

  it('exports readings as a table, and events as one beside it, and writes over neither unasked', async () => {
    const grower = new Grower();
    grower.commission();
    grower.bench.run(HOUR_MS);
    const folder = mkdtempSync(join(tmpdir(), 'trayward-'));
    const store = ['--store', join(folder, 'store')];
    await trayward(grower, 'journal', 'pull', ...store);
    const exported = (...words: string[]) =>
      trayward(grower, 'journal', 'export', ...words, ...store);
    const printed = await exported('--csv');
    const rows = printed.stdout.split('\r\n');
    expect(rows[0]).toMatch(
      /^time,kind,stage,root zone \(°C\),mat \(°C\),tray \(g\),dry-back \(%\)/,
    );
    expect(rows.slice(1).every((row) => /^[^,]*,(reading|trace),/.test(row))).toBe(true);
    expect(unwrapped(printed.stderr)).toContain('--out march.csv events go to march-events.csv');
    expect((await exported()).stdout).toBe(printed.stdout);
    expect((await exported('--csv', '--since', '2 weeks')).stdout).toBe(printed.stdout);
    expect((await exported('--csv', '--since', 'yesterday')).stdout).toBe(printed.stdout);

    const [file, events] = [join(folder, 'march.csv'), join(folder, 'march-events.csv')];
    const said = await exported('--csv', '--out', file);
    expect(unwrapped(said.stdout)).toMatch(
      /readings are in .*march\.csv, \d+ events are in .*march-events\.csv\./,
    );
    // Spreadsheets take a file for UTF-8 by its mark; what is printed goes to programs.
    expect(readFileSync(file, 'utf8').trimEnd()).toBe(`\ufeff${printed.stdout.trimEnd()}`);
    const table = readFileSync(events, 'utf8');
    expect(table).toMatch(/^\ufefftime,kind,what happened,/);
    expect(table).toContain('Marked sown');
    const all = (await exported('--jsonl')).stdout.trim().split('\n');
    expect(rows.length - 1 + table.split('\r\n').length - 2).toBe(all.length);

    writeFileSync(events, 'mine');
    rmSync(file);
    const taken = await exported('--csv', '--out', file);
    expect(taken.code).toBe(1);
    expect(unwrapped(taken.stderr)).toContain(
      'march-events.csv is there already, and stays as it is.',
    );
    expect(existsSync(file)).toBe(false);
    expect(readFileSync(events, 'utf8')).toBe('mine');
    expect((await exported('--csv', '--out', file, '--force')).code).toBe(0);
    expect(readFileSync(events, 'utf8')).toBe(table);
    for (const also of ['--jsonl', '--parquet'])
      expect((await exported(also, '--out', file)).stderr).toContain('--force');
    const both = await exported('--csv', '--parquet', '--out', file);
    expect(both.stderr).toContain('--csv and --parquet are two formats');
    const doses = await exported('--kind', 'mark', '--out', join(folder, 'marks.csv'));
    expect(doses.stdout).not.toContain('events');
    expect(existsSync(join(folder, 'marks-events.csv'))).toBe(false);
  });
});
