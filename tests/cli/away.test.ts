/** `away` at a terminal: the forecast of the tray that answers, or of the journal that is kept; and what `status` has of it. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RESULTS } from '../../cli/results/commands';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { profileWith } from '../simulation/scenes';
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
      /^Not for 9 d: by itself the tray is held until [A-Z][a-z]+( \w+)?, with 90 % certainty; then the reservoir is empty\./,
    );
    expect(text).toMatch(/First limit .*: the reservoir is empty/);
    expect(text).toMatch(
      /Buys most fill the reservoir to 5\.00 l: by itself the tray then is held until \w+/,
    );
    expect(text).toMatch(/Dries \d+ ml a day \d+ ml to \d+ ml/);
    expect(text).toMatch(
      /Takes \d+ ml a day, [\d.]+ l in 9 d [\d.]+ l to [\d.]+ l; [\d.]+ l in the reservoir/,
    );
    expect(said.stdout.split('\n').every((line) => line.length <= 80)).toBe(true);
    expect(unwrapped(await away('1d'))).toMatch(/^Yes, 1 d: /);
    expect(unwrapped(await away('1d', '--units', 'us'))).toMatch(/Dries [\d.]+ fl oz a day/);
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
    expect(said).toMatch(
      /Next dose (Between .* and .*|This \w+|Tonight) about \d+ ml, nine times of ten/,
    );
    expect(said).toMatch(/Reservoir until .* with 90 % certainty/);
    const { result } = JSON.parse((await at({}, 'status', '--json')).stdout);
    expect(RESULTS.status?.some((shape) => fits(shape, result))).toBe(true);
    expect(result.ahead.reservoirUntil.inH).toBeGreaterThan(0);
    const elsewhere = await runIn(worldAt(grower, {}), ['status', '--store', join(STORE, 'none')]);
    expect(unwrapped(elsewhere)).toMatch(
      /Days ahead not told: its journal is not kept here; `trayward journal pull` fetches it/,
    );
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

  it('promises no dose while water is held off: it says what frees it, with a journal here or without', async () => {
    grower.bench.fault('probe-open', false);
    grower.bench.run(HOUR_MS);
    grower.call('alarm.clear', { alarm: 'probe-open' });
    grower.bench.fault('reservoir-empty');
    grower.bench.run(DAY_MS);
    expect(grower.alarms()).toContain('dose-not-seen');
    const freed =
      /Next dose None until alarm "Dose not seen by the scale" is put right then `trayward alarm mended dose-not-seen`/;
    expect(unwrapped(await at({}, 'status'))).toMatch(freed);
    const elsewhere = ['status', '--store', join(STORE, 'none')];
    expect(unwrapped(await runIn(worldAt(grower, {}), elsewhere))).toMatch(freed);
    expect(unwrapped(await away('2d'))).toMatch(freed);
    const { result } = JSON.parse((await at({}, 'status', '--json')).stdout);
    expect(RESULTS.status?.some((shape) => fits(shape, result))).toBe(true);
    expect(result.ahead.nextDose.kind).toBe('held');
  });

  it('says by `status` that the journal kept here is old, and how to get the rest', async () => {
    grower.bench.run(DAY_MS);
    expect(unwrapped(await at({}, 'status'))).toMatch(
      /Days ahead not told: the journal kept here is old; `trayward journal pull` fetches the rest/,
    );
  });
});

describe('a tray left without its lid in germination', () => {
  it('gets its rescue dose within the time that was told before, though no feed was due for days', async () => {
    const store = mkdtempSync(join(tmpdir(), 'trayward-rescue-'));
    const grower = new Grower({ room: { meanC: 22 } });
    const ask = (...words: string[]): Promise<Said> =>
      runIn(worldAt(grower, {}), [...words, '--store', store]);
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.commission(profileWith({ hold: { rescue: { share: 0.12, doseMl: 120 } } }));
    grower.call('mark.set', { mark: 'refilled', volumeMl: 3000, feedEc: 0.8 });
    grower.bench.run(12 * HOUR_MS);
    grower.bench.hand.setLid('off');
    const told: { fromMs: number; toMs: number }[] = [];
    const given = () => grower.journal().find(({ kind }) => kind === 'dose');
    while (given() === undefined) {
      grower.bench.run(6 * HOUR_MS);
      await ask('journal', 'pull');
      const { result } = JSON.parse((await ask('status', '--json')).stdout);
      const { need, soonest, latest } = result.ahead.nextDose;
      if (need === 'rescue') told.push({ fromMs: soonest.unixMs, toMs: latest.unixMs });
    }
    const dose = given();
    expect(dose).toMatchObject({ reason: 'rescue' });
    const cameMs = grower.bench.unixMs - grower.bench.nowMs + (dose?.uptimeMs ?? 0);
    expect(told.length).toBeGreaterThanOrEqual(4);
    const held = told.filter(({ fromMs, toMs }) => fromMs <= cameMs && cameMs <= toMs);
    expect(held.length / told.length).toBeGreaterThanOrEqual(0.8);
    rmSync(store, { recursive: true, force: true });
  });
});
