/** What a grower types in plain words, and what is answered when it cannot be. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { moment } from '../../cli/arguments/moment';
import { checkProfileText } from '../../shared/profile/host/check';
import { cropFileText } from '../../shared/profile/host/crops';
import { trayward } from './worlds';

const told = (text: string): string => text.replace(/\s+/g, ' ');

describe('a moment', () => {
  const now = new Date(2026, 2, 10, 14, 30).getTime();
  const of = (text: string) => moment(text, '--since', 'metric')?.(now);

  it.each([
    ['2026-03-01', new Date(2026, 2, 1)],
    ['2026-03-01T14:30', new Date(2026, 2, 1, 14, 30)],
    ['today', new Date(2026, 2, 10)],
    ['yesterday', new Date(2026, 2, 9)],
    ['12h', new Date(2026, 2, 10, 2, 30)],
    ['2 days ago', new Date(2026, 2, 8, 14, 30)],
    ['2 weeks', new Date(2026, 1, 24, 14, 30)],
  ])('may be written %s', (text, when) => {
    expect(of(text)).toBe(when.getTime());
  });

  it.each(['', 'soon', '12', '2026-02-31', '5 g'])('cannot be "%s"', (text) => {
    expect(() => of(text)).toThrow('no date or time');
  });
});

describe('what cannot be is told without the program’s own names', () => {
  it.each([
    ['100d', 'An alarm is shelved for 1 d at most, and not for 100d.'],
    ['0s', 'An alarm is shelved for 1 d at most, and not for 0s.'],
  ])('an alarm kept quiet for %s', async (time, words) => {
    const { code, stderr } = await trayward('alarm', 'shelve', 'too-hot', '--for', time);
    expect(code).toBe(2);
    expect(told(stderr)).toContain(words);
  });

  it('a load cell that carries nothing', async () => {
    const words = ['scale', 'calibrate', '--weight', '5kg', '--cell', '0kg'];
    const { stderr } = await trayward(...words);
    expect(told(stderr)).toContain('Read the rating on the cell: 500 g to 100 kg.');
  });

  it('a band under an alarm limit that leaves it no room has no range that is upside down', () => {
    const text = cropFileText('pepper', 'x').replace(/root_zone_max: .*/, 'root_zone_max: 5.11 C');
    const { problems } = checkProfileText(text, 'pepper.yaml', 0);
    expect(problems.length).toBeGreaterThan(0);
    for (const { allowed } of problems) {
      const [, low = '0', high = '1'] = /^([\d.]+) to ([\d.]+)/.exec(allowed ?? '') ?? [];
      expect(Number(low)).toBeLessThanOrEqual(Number(high));
    }
  });
});

describe('a new profile', () => {
  let folder = '';
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'trayward new '));
  });
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });

  it('is named as a shell takes it, and so is what was written beside it', async () => {
    const file = join(folder, 'my tray.yaml');
    const { stdout } = await trayward('profile', 'new', 'pepper', file);
    expect(told(stdout)).toContain(`trayward profile load "${file}"`);
    expect(told(stdout)).toContain('trayward-profile.schema.json, by which an editor');
  });
});
