/** `explain` at a terminal: pulls by itself where a controller answers, and tells what is kept where none does. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RESULTS } from '../../cli/results/commands';
import { HOUR_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { fits } from './shapes';
import { runIn, type Said, worldAt, worldOf } from './worlds';

const STORE = mkdtempSync(join(tmpdir(), 'trayward-explain-'));
const unwrapped = ({ stdout }: Said): string => stdout.replace(/\s+/g, ' ');

describe('explain', () => {
  const grower = new Grower({ room: { meanC: 18 } });
  /** Nobody is there: a laptop on the train. */
  const alone = (...words: string[]): Promise<Said> =>
    runIn(worldOf({ now: () => grower.bench.unixMs, findControllers: async () => [] }), [
      'explain',
      '--store',
      STORE,
      ...words,
    ]);
  const beside = (...words: string[]): Promise<Said> =>
    runIn(worldAt(grower, {}), ['explain', '--store', STORE, ...words]);

  beforeAll(() => {
    grower.commission(TEST_PROFILE);
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.bench.run(14 * HOUR_MS);
  });
  afterAll(() => rmSync(STORE, { recursive: true, force: true }));

  it('refuses when nobody answers and nothing is kept, and says what to do', async () => {
    const none = await alone('--since', '12h');
    expect(none.code).toBe(1);
    expect(none.stderr).toContain('trayward journal pull');
  });

  it('says in one breath that all was well', async () => {
    const said = await beside('--since', '8h');
    expect(said.code).toBe(0);
    expect(unwrapped(said)).toMatch(
      /^Nothing went wrong from .*: root zone .*in its band 100 % of the time; no doses/,
    );
  });

  it('tells of a power cut: how long, how cold, why, and what it meant', async () => {
    grower.bench.fault('mains-cut', true, 6 * HOUR_MS);
    grower.bench.run(6 * HOUR_MS + 60_000);
    grower.connect();
    const said = await beside('--since', '12h');
    expect(unwrapped(said)).toMatch(/1\. The power was out, /);
    expect(unwrapped(said)).toMatch(
      /The power was out for (6 h|6 h [0-9] min|5 h 5[5-9] min) at the most/,
    );
    expect(unwrapped(said)).toMatch(/Root zone below its band for \d+ h .* coldest \d\d\.\d °C/);
    expect(unwrapped(said)).toMatch(/degree-hours below the band/);
    expect(said.stdout.split('\n').every((line) => line.length <= 80)).toBe(true);
    expect(unwrapped(await beside('--since', '12h', '--units', 'us'))).toContain('°F');
  });

  it('tells the same from what is kept, with the band of the profile kept beside it', async () => {
    const [near, far] = [await beside('--since', '12h'), await alone('--since', '12h')];
    expect(far.code).toBe(0);
    expect(far.stdout).toBe(near.stdout);
  });

  it('prints the entries behind each claim when asked', async () => {
    expect((await alone('--since', '12h')).stdout).not.toContain('Controller started');
    const said = await alone('--since', '12h', '--evidence');
    expect(said.stdout).toMatch(
      /Entries of the journal:\n[\s\S]*Controller started: power came on\./,
    );
  });

  it('gives programs the shape that RESULTS.md has', async () => {
    const { result } = JSON.parse((await beside('--json', '--since', '12h', '--evidence')).stdout);
    expect(RESULTS.explain?.some((shape) => fits(shape, result))).toBe(true);
    expect(result.pulled).toBe(true);
    expect(result.incidents[0]).toMatchObject({ causes: [{ cause: 'power-out', fit: 'good' }] });
    expect(result.incidents[0].evidence.length).toBeGreaterThan(1);
    const bare = JSON.parse((await alone('--json', '--since', '12h')).stdout).result;
    expect(bare.incidents[0].evidence).toEqual([]);
    expect(bare.pulled).toBe(false);
  });

  it('refuses a time that is none, and one that ends before it begins', async () => {
    const nonsense = await alone('--since', 'whenever');
    expect(nonsense.code).toBe(2);
    expect(nonsense.stderr).toContain('yesterday');
    expect((await alone('--since', '2h', '--until', '4h')).code).toBe(2);
    expect((await alone('--controller', 'tray')).code).toBe(2);
  });

  it('says so where the journal has nothing of that time, or the profile is not kept', async () => {
    const none = await alone('--since', '2025-01-01', '--until', '2025-01-02');
    expect(unwrapped(none)).toMatch(/^The journal has no readings from/);
    rmSync(join(STORE, grower.bench.boardId, 'profiles'), { recursive: true });
    expect(unwrapped(await alone('--since', '12h'))).toContain(
      'The profile of some of this time is not kept here',
    );
    writeFileSync(join(STORE, grower.bench.boardId, 'pulled'), 'nonsense');
    expect((await alone('--since', '12h')).code).toBe(0);
  });
});
