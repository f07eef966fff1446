/** `away` at a terminal: the forecast of the tray that answers, or of the journal that is kept; and what `status` has of it. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RESULTS } from '../../cli/results/commands';
import { DAY_MS, Grower, HOUR_MS, TEST_PROFILE } from '../simulation/grower';
import { fits } from './shapes';
import { runIn, type Said, worldAt, worldOf } from './worlds';

const STORE = mkdtempSync(join(tmpdir(), 'trayward-away-'));
const unwrapped = ({ stdout, stderr }: Said): string => `${stdout} ${stderr}`.replace(/\s+/g, ' ');

describe('away', () => {
  const grower = new Grower({ room: { meanC: 20 } });
  const at = (changes: object, ...words: string[]): Promise<Said> =>
    runIn(worldAt(grower, changes), [...words, '--store', STORE]);
  const away = (...words: string[]): Promise<Said> => at({}, 'away', ...words);
  /** Nobody answers, so long after the journal was pulled. */
  const alone = (hours: number, ...words: string[]): Promise<Said> =>
    runIn(
      worldOf({
        now: () => grower.bench.unixMs + hours * HOUR_MS,
        findControllers: async () => [],
      }),
      ['away', ...words, '--store', STORE],
    );

  beforeAll(() => grower.call('clock.set', { unixMs: grower.bench.unixMs }));
  afterAll(() => rmSync(STORE, { recursive: true, force: true }));

  it('refuses what it cannot tell, with what to do', async () => {
    expect(unwrapped(await alone(0, '6d'))).toContain('trayward journal pull');
    const unsown = await away('6d');
    expect(unsown.code).toBe(1);
    expect(unwrapped(unsown)).toMatch(/not sown/);
    const far = await away('60d');
    expect(far.code).toBe(2);
    expect(unwrapped(far)).toContain('1 h to 30 d');
    expect((await away('banana')).code).toBe(2);
    expect((await away()).code).toBe(2);
  });

  it('asks what is in the reservoir before anything else', async () => {
    grower.commission(TEST_PROFILE);
    grower.bench.run(HOUR_MS);
    const said = unwrapped(await away('2d'));
    expect(said).toMatch(/^Not now: something is to be put right first\. First Nobody has told/);
    expect(said).toContain('lift it for a minute of fresh air');
  });

  it('tells for how long, what ends it, when hands are wanted, and what buys most time', async () => {
    grower.call('mark.set', { mark: 'refilled', volumeMl: 2500, feedEc: 0.8 });
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.setLid('off');
    grower.bench.run(2 * DAY_MS);
    const said = await away('9d');
    expect(said.code).toBe(0);
    const text = unwrapped(said);
    expect(text).toMatch(
      /^Not for 9 d: by itself the tray is held for \d d( \d+ h)?, with 90 % certainty\./,
    );
    expect(text).toMatch(/First limit .*: the reservoir is empty/);
    expect(text).toMatch(
      /Buys most fill the reservoir to 5\.00 l: (more than )?\d+ d( \d+ h)? by itself/,
    );
    expect(text).toMatch(/Takes \d+ ml a day \d+ ml to \d+ ml; [\d.]+ l in the reservoir/);
    expect(said.stdout.split('\n').every((line) => line.length <= 80)).toBe(true);
    expect(unwrapped(await away('1d'))).toMatch(/^Yes, 1 d: /);
    expect(unwrapped(await away('1d', '--units', 'us'))).toMatch(/Takes [\d.]+ fl oz a day/);
  });

  it('gives programs the shape that RESULTS.md has, and no more certainty for less time', async () => {
    const { result } = JSON.parse((await away('9d', '--json')).stdout);
    expect(RESULTS.away?.some((shape) => fits(shape, result))).toBe(true);
    const reservoir = result.limits.find(({ kind }: { kind: string }) => kind === 'reservoir');
    expect(reservoir.inH).toBe(result.holdsH);
    expect(reservoir.likelyInH).toBeGreaterThanOrEqual(reservoir.inH);
    expect(result.change.holdsH).toBeGreaterThan(result.holdsH);
    expect(result.verdict).toBe('no');
  });

  it('is told by `status` too, where a fresh journal is kept', async () => {
    const said = unwrapped(await at({}, 'status'));
    expect(said).toMatch(/Next dose .*about \d/);
    expect(said).toMatch(/Reservoir until .* with 90 % certainty/);
    const { result } = JSON.parse((await at({}, 'status', '--json')).stdout);
    expect(RESULTS.status?.some((shape) => fits(shape, result))).toBe(true);
    expect(result.ahead.reservoirUntil.inH).toBeGreaterThan(0);
    const elsewhere = await runIn(worldAt(grower, {}), ['status', '--store', join(STORE, 'none')]);
    expect(unwrapped(elsewhere)).not.toContain('Next dose');
  });

  it('is told by the kept journal where nobody answers, less the time that has gone since', async () => {
    const near = JSON.parse((await away('9d', '--json')).stdout).result;
    const later = JSON.parse((await alone(5, '9d', '--json')).stdout).result;
    expect(later.pulled).toBe(false);
    expect(later.ageS / 3600).toBeCloseTo(5, 0);
    expect(near.holdsH - later.holdsH).toBeGreaterThan(4);
    expect(near.holdsH - later.holdsH).toBeLessThan(6);
    expect(unwrapped(await alone(5, '9d'))).toContain('the controller did not answer');
    const old = await alone(80, '9d');
    expect(old.code).toBe(1);
    expect(unwrapped(old)).toContain('too long ago');
  });

  it('is nothing while an alarm holds heat or water off: what to do is told instead', async () => {
    grower.bench.fault('probe-open', true);
    grower.bench.run(HOUR_MS);
    const said = unwrapped(await away('1d'));
    expect(said).toMatch(/^Not now: .* First Root-zone probe open: heat held off\. - /);
    const { result } = JSON.parse((await alone(1, '1d', '--json')).stdout);
    expect(result.verdict).toBe('not-now');
    expect(result.change).toBeNull();
  });
});
