/** `tray model` at a terminal. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { RESULTS } from '../../cli/results/commands';
import { CALM_TICK_MS } from '../../firmware/bench/pace';
import { DAY_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { fits } from './shapes';
import { runIn, type Said, worldAt } from './worlds';

const STORE = mkdtempSync(join(tmpdir(), 'trayward-tray-'));
const unwrapped = ({ stdout, stderr }: Said): string => `${stdout} ${stderr}`.replace(/\s+/g, ' ');

describe('tray model', () => {
  const grower = new Grower({ room: { meanC: 19 }, calmTickMs: CALM_TICK_MS });
  const said = (...words: string[]): Promise<Said> =>
    runIn(worldAt(grower, {}), ['tray', 'model', '--store', STORE, ...words]);
  afterAll(() => rmSync(STORE, { recursive: true, force: true }));

  it('refuses what the journal does not carry yet, and says what would', async () => {
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.commission(TEST_PROFILE);
    const { boardId } = grower.call('controller.hello', {}, false);
    const like = ['rehearse', 'shared/crops/lettuce.yaml', '--like', boardId, '--store', STORE];
    expect((await runIn(worldAt(grower, {}), like)).stderr).toContain('a mat that is always');
    const none = await said();
    expect(none.code).toBe(1);
    expect(unwrapped(none)).toContain('a mat that is always on');
    expect(unwrapped(none)).toContain('Ask again after a day or two');
  });

  it('tells the watts of the bench’s mat, how sure they are, and what is not told', async () => {
    grower.bench.run(1.5 * DAY_MS);
    const told = await said();
    expect(told.code).toBe(0);
    expect(unwrapped(told)).toMatch(/Mat 1[4-6]\.\d W reach the tray \(1[4-6]\.\d to 1[4-6]\.\d W/);
    expect(unwrapped(told)).toMatch(/Loss [01]\.\d\d W \(.* for each kelvin, with the lid closed/);
    expect(unwrapped(told)).toMatch(/Heat held [45]\.\d\d Wh \(.* for each kelvin/);
    expect(unwrapped(told)).toMatch(/At the coldest from \d\d:00 to \d\d:00, felt like 1\d\.\d °C/);
    expect(unwrapped(told)).toMatch(/Drying \d\.\d g a day .* with the lid closed/);
    expect(unwrapped(told)).toContain('Not told The tray was weighed full of water only once');
    expect(unwrapped(told)).toContain('No dose was weighed since the pump was calibrated');
    expect(unwrapped(told)).toContain('No probe is in the room');
    expect(told.stdout.split('\n').every((line) => line.length <= 80)).toBe(true);
    const { result } = JSON.parse((await said('--json')).stdout);
    expect(RESULTS['tray model']?.some((shape) => fits(shape, result))).toBe(true);
  });

  it('tells growth once the same plugs were soaked again days later, and marked', async () => {
    grower.bench.run(3 * DAY_MS);
    grower.bench.hand.soak();
    grower.bench.run(DAY_MS / 24);
    grower.call('mark.set', { mark: 'soaked' });
    const { result } = JSON.parse((await said('--json')).stdout);
    // Nothing is up yet: drops hang in the plugs, more or less of them.
    expect(result.growth.gainedG).toBeGreaterThan(-10);
    expect(result.growth.gainedG).toBeLessThan(10);
    expect(result.hours.length).toBeGreaterThan(20);
    expect(RESULTS['tray model']?.some((shape) => fits(shape, result))).toBe(true);
  });

  it('lends its mat to a rehearsal', async () => {
    const { boardId } = grower.call('controller.hello', {}, false);
    const words = [
      '--json',
      'rehearse',
      'shared/crops/lettuce.yaml',
      '--days',
      '1d',
      '--seeds',
      '1',
    ];
    const rehearsed = await runIn(worldAt(grower, {}), [
      ...words,
      ...['--like', boardId, '--store', STORE],
    ]);
    const { result } = JSON.parse(rehearsed.stdout);
    expect(RESULTS.rehearse?.some((shape) => fits(shape, result))).toBe(true);
    expect(result.like).toBe(boardId);
    // The bench's own is of 15.5 W, 15.3 of which reach the tray.
    expect(result.matW).toBeGreaterThan(15);
    expect(result.matW).toBeLessThan(16);
    expect(result.matW).not.toBe(120 * 0.254 * 0.508);
  });
});
