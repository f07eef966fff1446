/** `trayward report --compare`: two seasons of the store side by side, from their sowing on. */
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RESULTS } from '../../cli/results/commands';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { json, unwrapped } from './program';
import { fits } from './shapes';
import { runIn, type Said, worldAt, worldOf } from './worlds';

const FOLDER = mkdtempSync(join(tmpdir(), 'trayward-compare-'));
const STORE = ['--store', join(FOLDER, 'store')];
const page = (name: string): string => join(FOLDER, name);

describe('report --compare', () => {
  const grower = new Grower();
  const compare = (...words: readonly string[]): Promise<Said> =>
    runIn(worldAt(grower, {}), [...words, ...STORE]);
  let board = '';
  let firstDay = '';
  let secondDay = '';
  const dayNow = (): string => new Date(grower.bench.unixMs).toISOString().slice(0, 10);

  beforeAll(() => {
    board = grower.call('controller.hello', {}, false).boardId;
    grower.calibrateScale();
    grower.bench.run(HOUR_MS);
  });
  afterAll(() => rmSync(FOLDER, { recursive: true, force: true }));

  it('refuses a journal in which nothing was sown, and says what to do next', async () => {
    const none = await compare(
      'report',
      '--compare',
      board,
      '@2026-03-01',
      '--out',
      page('none.html'),
    );
    expect(none.code).toBe(1);
    expect(unwrapped(none.stderr)).toContain('Nothing in the journal of controller');
    expect(none.stderr).toContain('trayward mark sown');
    expect(existsSync(page('none.html'))).toBe(false);
  });

  it('refuses to compare a season with itself, and where there is no other one says so', async () => {
    grower.commission();
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    firstDay = dayNow();
    grower.bench.run(30 * HOUR_MS);
    const same = await compare('report', '--compare', board, board);
    expect(same.code).toBe(1);
    expect(unwrapped(same.stderr)).toContain(`Both are the season ${board}@${firstDay}`);
    expect(unwrapped(same.stderr)).toContain('no other one');
  });

  it('lays two crops of one controller side by side, each from its sowing to the next', async () => {
    grower.call('mark.set', { mark: 'sown' });
    secondDay = dayNow();
    grower.bench.run(20 * HOUR_MS);
    const said = await compare(
      ...['report', '--compare', `@${firstDay}`, board, '--out', page('two.html')],
    );
    expect(said.stderr).toBe('');
    expect(said.code).toBe(0);
    for (const line of said.stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    expect(unwrapped(said.stdout)).toMatch(/Root zone out of its band +[\d.]+ h +[\d.]+ h/);
    const text = readFileSync(page('two.html'), 'utf8');
    for (const lane of ['A: Root zone, °C', 'B: Root zone, °C', 'Given to each plant'])
      expect(text).toContain(lane);
  });

  it('gives programs what differs, both seasons named as they are typed', async () => {
    const { result } = json(
      await compare(
        ...['--json', 'report', '--compare', `${board}@${firstDay}`, `${board}@${secondDay}`],
        ...['--out', page('json.html')],
      ),
    );
    expect(RESULTS.report?.some((shape) => fits(shape, result))).toBe(true);
    const [first, second] = result.seasons;
    expect([first.name, second.name]).toEqual([`${board}@${firstDay}`, `${board}@${secondDay}`]);
    // The first ends when the next crop is soaked, six hours before it is sown.
    expect(first.days).toBeCloseTo(1, 1);
    expect(second.days).toBeCloseTo(20 / 24, 1);
    expect(result.commonDays).toBe(second.days);
    expect(first.sownUnixMs + 30 * HOUR_MS).toBeCloseTo(second.sownUnixMs, -5);
  });

  it('needs no controller: the store alone will do', async () => {
    const alone = worldOf({
      now: () => grower.bench.unixMs + 3 * DAY_MS,
      findControllers: async () => [],
    });
    const words = [
      'report',
      '--compare',
      `@${firstDay}`,
      '@2030-01-01',
      '--out',
      page('alone.html'),
    ];
    expect((await runIn(alone, [...words, ...STORE])).code).toBe(0);
  });

  it('lays two trays side by side as well', async () => {
    const other = 'e6610000000000ff';
    cpSync(join(FOLDER, 'store', board), join(FOLDER, 'store', other), { recursive: true });
    const words = ['report', '--compare', other, board, '--out', page('trays.html')];
    const { result } = json(await compare('--json', ...words));
    expect(result.seasons.map(({ boardId }: { boardId: string }) => boardId)).toEqual([
      other,
      board,
    ]);
    for (const { a, b } of result.differences) expect(a).toEqual(b);
  });

  it('refuses a day before anything was sown, and lists what there is', async () => {
    const early = await compare('report', '--compare', '@2001-01-01', board);
    expect(early.code).toBe(1);
    expect(unwrapped(early.stderr)).toContain('Nothing was sown up to 2001-01-01');
    expect(unwrapped(early.stderr)).toContain(`${board}@${firstDay}, ${board}@${secondDay}`);
  });

  it('leaves a file that is there as it is, unless told otherwise', async () => {
    writeFileSync(page('mine.html'), 'mine');
    const words = ['report', '--compare', `@${firstDay}`, board, '--out', page('mine.html')];
    expect(json(await compare('--json', ...words)).error).toMatchObject({ reason: 'file-exists' });
    expect(readFileSync(page('mine.html'), 'utf8')).toBe('mine');
    expect((await compare(...words, '--force')).code).toBe(0);
  });

  it.each([
    [['--compare', '@2026-03-01'], 'takes two seasons, and 1 is named'],
    [
      ['--compare', '@2026-03-01', '@2026-03-02', '@2026-03-03'],
      'takes two seasons, and 3 are named',
    ],
    [['--compare', 'a', 'b'], 'names no season'],
    [['--compare', '@2026-02-31', '@2026-03-02'], 'names no season'],
    [
      ['--compare', '@2026-03-01', '@2026-03-02', '--svg', 'a.svg'],
      '--svg is for the report of one',
    ],
    [['--compare', '@2026-03-01', '@2026-03-02', '--out', 'a.svg'], 'names a picture'],
    [
      ['--compare', '@2026-03-01', '@2026-03-02', '--since', '2h'],
      '--since is for the report of one',
    ],
  ])('refuses %j', async (words, why) => {
    const { code, stderr } = await compare('report', ...words);
    expect(code).toBe(2);
    expect(unwrapped(stderr)).toContain(why);
  });
});
