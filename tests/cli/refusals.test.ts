/** Input that is wrong: clear words, the right exit code, and nothing changed on the board. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { MINUTE_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { type Ended, inForm, json, unwrapped } from './program';
import { runIn, worldAt } from './worlds';

const PEPPER = 'shared/crops/pepper.yaml';

const grower = new Grower();
let home = '';
/** How the board stood before the first wrong word; it must stay so to the last. */
let before: object;

beforeAll(async () => {
  home = mkdtempSync(join(tmpdir(), 'trayward-refusals-'));
  // Where running benches are looked for: none is found, and nobody else's is touched.
  vi.stubEnv('TMPDIR', home);
  grower.bench.run(MINUTE_MS);
  expect((await trayward('profile', 'load', PEPPER)).code).toBe(0);
  before = standing();
});
afterAll(() => {
  vi.unstubAllEnvs();
  rmSync(home, { recursive: true });
});

async function trayward(...words: string[]): Promise<Ended> {
  return inForm(words, await runIn(worldAt(grower, { env: { HOME: home } }), words));
}

/** All that the board tells of itself. Its time stands while nobody waits, so that nothing changes by itself. */
function standing(): object {
  return {
    status: grower.status(),
    scale: grower.call('scale.read', {}, false),
    calibrations: grower.call('scale.history', {}, false),
    probes: grower.call('probe.read', {}, false),
    pump: grower.call('pump.state', {}, false),
    alarms: grower.call('alarm.list', {}, false),
    profiles: grower.call('profile.slots', {}, false),
    journal: grower.journal(),
  };
}

describe('a profile file', () => {
  const pepper = readFileSync(PEPPER, 'utf8');
  const change = (from: string | RegExp, to: string): string => {
    const text = pepper.replace(from, to);
    expect(text).not.toBe(pepper);
    return text;
  };

  async function refusal(text: string): Promise<string> {
    const file = join(home, 'wrong.yaml');
    writeFileSync(file, text);
    const checked = await trayward('--json', 'profile', 'check', '--no-rehearsal', file);
    expect(checked.code).toBe(2);
    expect(json(checked).error.details[0]).toMatchObject({ severity: 'error', file });
    const { code, stdout, stderr } = await trayward('profile', 'load', file, '--yes');
    expect(code).toBe(2);
    expect(stdout).toBe('');
    expect(stderr).toMatch(/wrong\.yaml:\d+:\d+: error/);
    expect(unwrapped(stderr)).toContain('Nothing was sent.');
    expect(standing()).toEqual(before);
    return unwrapped(stderr);
  }

  it.each([
    ['is no YAML', /^stages:/m, 'stages: [', ':'],
    ['is for a newer version', 'trayward: 1', 'trayward: 2', 'Update the program'],
    ['has text for a version', 'trayward: 1', 'trayward: one', 'A plain number belongs here'],
    ['has a key that does not exist', /^title:/m, 'titel:', '"title"'],
    ['lacks its title', /^title:.*$/m, '', 'This is missing'],
    ['has an endless title', /^title: .*$/m, `title: ${'long '.repeat(40)}`, 'letters here'],
    ['has text for a count', 'pieces: 98', 'pieces: ninety', 'A plain number belongs here'],
    ['has half a piece', 'pieces: 98', 'pieces: 97.5', 'whole number'],
    ['has no pieces', 'pieces: 98', 'pieces: 0', 'At least 1 here'],
    ['has no stages', /^stages:[\s\S]*/m, 'stages: []\n', 'stage'],
    ['has a kind of stage that is none', 'kind: weigh', 'kind: weight', 'Did you mean "weigh"?'],
    ['has a band upside down', /band: .*/, 'band: { low: 28 C, high: 26 C }', 'band'],
    ['has a band that cooks', /band: .*/, 'band: { low: 36 C, high: 38 C }', '35'],
    ['has a band in one piece', /band: .*/, 'band: 26 C to 28 C', 'A group of keys belongs here'],
    ['has a unit of something else', /band: .*/, 'band: { low: 26 ml, high: 28 ml }', 'ml'],
    ['has a negative dose', 'dose: 120 ml', 'dose: -60 ml', '-60 ml'],
    ['has a bare ppm', 'feed: 0.9 mS/cm', 'feed: 400 ppm', 'ppm'],
    ['has a medium that is not there', 'medium: plugs', 'medium: plgus', 'There is no medium'],
  ])('that %s is refused with its line, and nothing is changed', async (_, from, to, words) => {
    expect(await refusal(change(from, to))).toContain(words);
  });

  it('that is no text is refused', async () => {
    await refusal(Buffer.from([0xff, 0xfe, 0x00, 0x01]).toString('latin1'));
  });

  it('that is not there, or is a folder, is refused', async () => {
    expect((await trayward('profile', 'check', 'nowhere.yaml')).code).toBe(2);
    expect((await trayward('profile', 'check', 'shared')).code).toBe(2);
  });

  it('in another encoding than UTF-8 is refused, rather than its letters lost', async () => {
    const path = join(home, 'old.yaml');
    const text = change(/^title:.*$/m, 'title: Paprika f\u00fcr M\u00e4rz');
    writeFileSync(path, text, 'latin1');
    const checked = await trayward('--json', 'profile', 'check', '--no-rehearsal', path);
    expect(checked.code).toBe(2);
    expect(json(checked).error).toMatchObject({ kind: 'invalid', reason: 'not-utf8' });
    writeFileSync(path, text, 'utf8');
    const { stdout } = await trayward('profile', 'check', '--no-rehearsal', path);
    expect(stdout).toContain('Paprika für März');
  });
});

describe('words on the command line', () => {
  /** As a shell splits them. */
  const wordsOf = (line: string): string[] =>
    (line.match(/"[^"]*"|\S+/g) ?? []).map((word) => word.replaceAll('"', ''));

  it.each([
    ['scale calibrate --weight -5kg --cell 10kg', 2, 'less than 0'],
    ['scale calibrate --weight 5kg --cell -10kg', 2, 'less than 0'],
    ['scale calibrate --weight 5kg --cell 10kg --tray -4kg', 2, 'less than 0'],
    ['scale calibrate --weight heavy --cell 10kg', 2, 'heavy'],
    ['scale calibrate --weight 5 --cell 10kg', 2, 'no unit'],
    ['scale calibrate --weight 5kg', 2, 'load cell'],
    ['scale calibrate --weight 50kg --cell 10kg', 1, 'would overload the 10 kg cell'],
    ['scale calibrate --weight 5kg --cell 5kg', 1, 'too small'],
    ['scale calibrate --restore 7', 1, 'calibration'],
    ['scale calibrate --restore abc', 2, '--restore abc is no whole number'],
    ['scale calibrate --restore -1', 2, '--restore -1'],
    ['scale calibrate --restore 1.5', 2, '--restore 1.5'],
    ['scale calibrate --restore 0', 2, '--restore 0'],
    ['scale calibrate --restore=', 2, '--restore ""'],
    ['scale zero', 1, 'never calibrated'],
    ['probe calibrate --reads warm', 2, 'warm'],
    ['probe calibrate', 2, '--ice'],
    ['pump prime --for -10s --yes', 2, 'less than 0'],
    ['pump prime --for 2h --yes', 1, 'not possible by hand'],
    ['pump prime', 2, 'the other in a jug? The pump runs for 10 s.'],
    ['pump prime', 2, '--yes'],
    ['mark dry --weight -400g', 2, 'less than 0'],
    ['mark dry --weight 500', 2, 'no unit'],
    ['mark dry --weight "-5 g"', 2, 'less than 0'],
    ['mark dry --weight "a lot"', 2, 'a lot'],
    ['mark soaked', 1, 'scale'],
    ['mark watered', 2, 'watered'],
    ['stage next --yes', 1, 'sown'],
    ['alarm shelve too-dry --for -2h', 2, 'less than 0'],
    ['alarm shelve too-dry', 2, '--for'],
    ['alarm seen too-dry', 1, 'too-dry'],
    ['alarm mended too-dry', 1, 'too-dry'],
    ['alarm mended nonsense', 2, 'nonsense'],
    ['watch --times 0', 2, '--times'],
    ['--units cubits status', 2, 'metric or us'],
    ['status now', 2, 'status'],
    ['staus', 2, 'status'],
  ])('in `%s` end with %i, and nothing is changed', async (line, code, words) => {
    const ended = await trayward(...wordsOf(line));
    expect(ended.code).toBe(code);
    expect(ended.stderr).toContain('Not done: ');
    expect(unwrapped(ended.stderr)).toContain(words);
    expect(ended.stdout).toBe('');
    expect(standing()).toEqual(before);
  });

  it.each([
    'bench run soon',
    'bench run -2 h',
    'bench run 0 s',
    'bench run 500 d',
    'bench speed 1e9',
    'bench speed 99999999',
    'bench speed fast',
    'bench hand put-weight -5kg',
    'bench hand dance',
    'bench fault everything',
    'journal show --last many',
    'journal show --since yesterday-ish',
    'journal show --since 5',
    'journal show --until 2026-13-01',
    'journal show --since 2026-02-31',
    'journal show --since 2026-03-02 --until 2026-03-01',
    'journal export --format pdf',
    'journal export --csv --jsonl',
    'hardware check --mat much',
  ])('in `%s` are wrong usage', async (line) => {
    const ended = await trayward('--json', ...line.split(' '));
    expect(ended.code).toBe(2);
    expect(json(ended).error.kind).toBe('usage');
    expect(json(ended).error.next).not.toBe('');
  });
});
