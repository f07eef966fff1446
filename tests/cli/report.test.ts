/** `trayward report`: a page from the stored journal, with a controller and without. */
import { existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RESULTS } from '../../cli/results/commands';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { json, unwrapped } from './program';
import { fits } from './shapes';
import { runIn, type Said, worldAt, worldOf } from './worlds';

const FOLDER = mkdtempSync(join(tmpdir(), 'trayward-report-'));
const STORE = ['--store', join(FOLDER, 'store')];
const page = (name: string): string => join(FOLDER, name);
const outTo = (name: string): readonly string[] => ['--out', page(name)];

describe('report', () => {
  const grower = new Grower();
  const beside = (...words: readonly string[]): Promise<Said> =>
    runIn(worldAt(grower, {}), ['report', ...STORE, ...words]);
  /** On a laptop to which nothing is attached, so many days later. */
  const alone = (daysLater: number, ...words: readonly string[]): Promise<Said> =>
    runIn(
      worldOf({
        now: () => grower.bench.unixMs + daysLater * DAY_MS,
        findControllers: async () => [],
      }),
      [...words, ...STORE],
    );

  beforeAll(() => {
    grower.commission();
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.bench.run(5 * HOUR_MS);
  });
  afterAll(() => rmSync(FOLDER, { recursive: true, force: true }));

  it('refuses where nobody answers and nothing is kept, and says what to do', async () => {
    const none = await alone(0, 'report', ...outTo('none.html'));
    expect(none.code).toBe(1);
    expect(none.stderr).toContain('trayward journal pull');
    expect(existsSync(page('none.html'))).toBe(false);
  });

  it('pulls by itself, writes the page, and says the first of each answer', async () => {
    const said = await beside(...outTo('first.html'));
    expect(said.stderr).toBe('');
    expect(said.code).toBe(0);
    for (const label of ['Happened', 'Plants', 'To do', 'Leave again'])
      expect(said.stdout).toContain(label);
    expect(unwrapped(said.stdout)).toContain('it needs no network');
    for (const line of said.stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    const text = readFileSync(page('first.html'), 'utf8');
    expect(text).toContain('<title>Test tray: ');
    expect(text).toContain('<svg');
  });

  it('gives programs what the page says first', async () => {
    const { result } = json(await beside('--json', ...outTo('second.html')));
    expect(RESULTS.report?.some((shape) => fits(shape, result))).toBe(true);
    expect(result).toMatchObject({ out: page('second.html'), pulled: true, incidents: 0 });
    expect(result.bytes).toBe(Buffer.byteLength(readFileSync(page('second.html'))));
  });

  it('tells from the store alone what was pulled last, and that it is old', async () => {
    const { result } = json(await alone(3, '--json', 'report', ...outTo('later.html')));
    expect(result).toMatchObject({ pulled: false, answers: { leave: 'look-first' } });
  });

  it('leaves a file that is there as it is, unless told otherwise', async () => {
    writeFileSync(page('mine.html'), 'mine');
    const refused = await beside('--json', ...outTo('mine.html'));
    expect(refused.code).toBe(1);
    expect(json(refused).error).toMatchObject({ kind: 'refused', reason: 'file-exists' });
    expect(readFileSync(page('mine.html'), 'utf8')).toBe('mine');
    expect((await beside(...outTo('mine.html'), '--force')).code).toBe(0);
    expect(readFileSync(page('mine.html'), 'utf8')).toContain('<!doctype html>');
  });

  it('writes the plots as a picture, alone or beside the page', async () => {
    const { result } = json(await beside('--json', '--svg', page('season.svg')));
    expect(RESULTS.report?.some((shape) => fits(shape, result))).toBe(true);
    const text = readFileSync(page('season.svg'), 'utf8');
    expect(result).toMatchObject({ out: null, bytes: null, svg: page('season.svg') });
    expect(result.svgBytes).toBe(Buffer.byteLength(text));
    expect(text).toContain('<title id="title">Test tray: ');
    const both = await beside('--svg', page('beside.svg'), ...outTo('beside.html'));
    expect(both.code).toBe(0);
    for (const name of ['beside.svg', 'beside.html']) {
      expect(existsSync(page(name))).toBe(true);
      expect(unwrapped(both.stdout)).toContain(`${page(name)} is written`);
    }
  });

  it('leaves a picture that is there as it is, and writes no page either, unless told otherwise', async () => {
    writeFileSync(page('mine.svg'), 'mine');
    const refused = await beside('--json', '--svg', page('mine.svg'), ...outTo('with-mine.html'));
    expect(json(refused).error).toMatchObject({ kind: 'refused', reason: 'file-exists' });
    expect(json(refused).error.next).toContain('--svg');
    expect(readFileSync(page('mine.svg'), 'utf8')).toBe('mine');
    expect(existsSync(page('with-mine.html'))).toBe(false);
    expect((await beside('--svg', page('mine.svg'), '--force')).code).toBe(0);
    expect(readFileSync(page('mine.svg'), 'utf8')).toContain('<svg');
  });

  it('refuses page and picture in one file, however it is named', async () => {
    const link = page('linked');
    symlinkSync(FOLDER, link);
    const same = await beside('--svg', join(link, 'one.svg'), ...outTo('one.svg'));
    expect(same.code).toBe(2);
    expect(unwrapped(same.stderr)).toContain('the page and the picture are two files');
  });

  it('refuses a time of which the journal has nothing', async () => {
    const empty = await beside('--json', ...outTo('empty.html'), '--until', '2001-01-01');
    expect(empty.code).toBe(1);
    expect(json(empty).error).toMatchObject({ reason: 'nothing-there' });
    expect(json(empty).error.next).toContain('trayward journal show');
    expect(existsSync(page('empty.html'))).toBe(false);
  });

  it.each([
    [['--since', '2h', '--until', '3h'], 'Nothing lies between'],
    [['--since', 'soon'], 'is no date or time'],
    [['--mat', '5kW'], 'no number of watts from 1 to 1000'],
    [['--tariff', '0.3'], 'Add --mat'],
    [['--controller', 'tray'], 'is no controller'],
    [['--out', join('/nonexistent', 'r.html')], '/nonexistent'],
    [['--svg', join('/nonexistent', 'r.svg')], '/nonexistent'],
    [['--svg', 'season.png'], 'Name it season.svg.'],
    [['--svg', 'season.html'], 'The page is written with --out.'],
    [['--svg', ''], 'does not end in .svg'],
    [['--out', 'season.svg'], 'is written with --svg season.svg.'],
  ])('refuses %j, and says what may be', async (words, why) => {
    const { code, stderr } = await beside(...words);
    expect(code).toBe(2);
    expect(unwrapped(stderr)).toContain(why);
  });

  it('reckons the energy with the power of the mat, and shows US units', async () => {
    await beside('--units', 'us', ...outTo('us.html'), '--mat', '60', '--tariff', '0.25');
    const text = readFileSync(page('us.html'), 'utf8');
    expect(text).toContain('kWh');
    expect(text).toContain('Cost');
    expect(text).toContain('Root zone, °F');
  });
});
