/** A word that is not known: the one that was meant is named, and never one that was not. */
import { describe, expect, it } from 'vitest';
import { trayward } from './worlds';

describe('a slip of the finger', () => {
  it.each([
    ['--prot x status', 'Did you mean --port?'],
    ['profile laod x', 'Did you mean load?'],
    ['stat', 'Did you mean status?'],
    ['profile load x --yess', 'Did you mean --yes?'],
    ['alarm mended prob-open', 'Did you mean "probe-open"?'],
    ['mark emergd', 'Did you mean "emerged"?'],
    ['journal show --kind doze', 'Did you mean "dose"?'],
    ['bench fault link-nose', 'Did you mean "link-noise"?'],
    ['bench hand put-weigth', 'Did you mean "put-weight"?'],
    ['profile new tomatoe', 'Did you mean "tomato"?'],
  ])('in `%s` is told what was meant', async (line, words) => {
    const { code, stderr } = await trayward(...line.split(' '));
    expect(code).toBe(2);
    expect(stderr).toContain(words);
  });

  it.each([
    ['board update trayward.uf2', 'A file is given with --image.'],
    ['status week.ics', 'A value and its unit are one word'],
    ['board update 2 kg', 'A value and its unit are one word'],
  ])(
    'of more words than it takes, `%s` is told how the last one may have been meant',
    async (line, words) => {
      const { code, stderr } = await trayward(...line.split(' '));
      expect(code).toBe(2);
      expect(stderr).toContain('There are more words than');
      expect(stderr).toContain(words);
    },
  );

  it.each([
    '--uart tcp://127.0.0.1:1 status',
    'calibrate',
    'profile write x',
    'alarm mended everything',
    'mark watered',
    'bench fault everything',
    'bench hand dance',
  ])('is not what `%s` is, so no other word is put into the mouth', async (line) => {
    const { code, stderr } = await trayward(...line.split(' '));
    expect(code).toBe(2);
    expect(stderr).not.toContain('Did you mean');
    expect(stderr).toMatch(/\n {2}\S/);
  });
});
