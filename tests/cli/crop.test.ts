/** The crop library on the screen: what a grower reads, and what is refused. */
import { describe, expect, it } from 'vitest';
import { crops } from '../../shared/crops/library/library';
import { trayward } from './worlds';

const crop = (...words: string[]) => trayward('crop', ...words);
const resultOf = async (...words: string[]) =>
  JSON.parse((await crop('--json', ...words)).stdout).result;
const told = (text: string): string => text.replace(/\s+/g, ' ');
const widest = (text: string): number => Math.max(...text.split('\n').map((line) => line.length));

describe('crop list', () => {
  it('has every crop of the library in a line', async () => {
    const { stdout } = await crop('list');
    for (const { name } of crops())
      expect(stdout).toMatch(new RegExp(`^${name} .*(d|weeks|place)$`, 'm'));
    expect(widest(stdout)).toBeLessThanOrEqual(80);
    expect(stdout).toMatch(/^pepper +fruiting +seed +24 to 28 °C +8 d +5 to 9 weeks$/m);
    expect(stdout).toMatch(/^carrot .* sown in place$/m);
    const us = await crop('list', '--units', 'us');
    expect(us.stdout).toMatch(/^pepper +fruiting +seed +75 to 82 °F +8 d/m);
    expect(widest(us.stdout)).toBeLessThanOrEqual(80);
  });

  it('has those of one kind, and says for which there is a profile', async () => {
    const { crops: leafy } = await resultOf('list', '--kind', 'leafy');
    expect(leafy.map(({ name }: { name: string }) => name)).toEqual([
      'celery',
      'chard',
      'lettuce',
      'spinach',
    ]);
    expect((await crop('list', '--kind', 'leafy')).stdout).toContain('start from for lettuce:');
    expect((await crop('list', '--kind', 'brassica')).stdout).not.toContain('profile');
    const none = await crop('list', '--kind', 'tree');
    expect(none.code).toBe(2);
    expect(none.stderr).toContain('fruiting, leafy');
  });
});

describe('crop show', () => {
  it.each(crops().map(({ name }) => name))(
    'fits %s into 80 columns, in both systems',
    async (name) => {
      for (const units of ['metric', 'us']) {
        const { code, stdout } = await crop('show', name, '--sources', '--units', units);
        expect(code).toBe(0);
        expect(widest(stdout)).toBeLessThanOrEqual(80);
        expect(stdout).not.toMatch(/NaN|undefined|null|Infinity/);
      }
    },
  );

  it('tells whose each number is', async () => {
    const { stdout } = await crop('show', 'tomato');
    expect(stdout).toMatch(/best 18 to 29 °C, not below 10 °C, not above 35 °C \[1\]/);
    expect(stdout).toMatch(/15 °C +14 d +98 of 100 +\[2\]/);
    expect(stdout).toMatch(/5 to 6 weeks \[5\]; 5 to 7 weeks \[11, 12\]; 6 to 8 weeks \[3\]/);
    expect(stdout).toMatch(/\[2\] +Harrington and Minges 1954\n/);
    expect(stdout).toMatch(/\[4\] +Common practice\n/);
    // The trade's band comes first: 24 to 28 C (common practice).
    expect(stdout).toMatch(/Root zone +24 to 28 °C \[4\]; 21 to 27 °C \[5\]/);
    expect(told((await crop('show', 'tomato', '--sources')).stdout)).toContain(
      'California Agricultural Extension Mimeo Leaflet, 1954',
    );
    // What the flower trade tells by nitrogen, a meter shows as EC.
    expect((await crop('show', 'petunia')).stdout).toContain(
      'about 0.4 to 0.6 mS/cm, by its nitrogen',
    );
    const { sources } = await resultOf('show', 'tomato');
    expect(sources).toContainEqual(
      expect.objectContaining({ name: 'From memory', standing: 'from-memory' }),
    );
  });

  it('tells callus and first roots as one where a source has one time for both', async () => {
    const verbena = (await crop('show', 'verbena')).stdout;
    expect(verbena).toMatch(/Callus, first roots +10 to 14 d/);
    expect(verbena).not.toMatch(/^ +Callus {2}/m);
    const poinsettia = (await crop('show', 'poinsettia')).stdout;
    expect(poinsettia).toMatch(/Callus +7 to 10 d.*\n +First roots +12 to 16 d/);
  });

  it('tells the days at one temperature, by each source', async () => {
    const { stdout } = await crop('show', 'tomato', '--at', '85F');
    expect(stdout).toMatch(/^With the root zone at 29 °C tomato seed is up in 5 to 6 d\.\n/);
    const { at } = await resultOf('show', 'tomato', '--at', '20C');
    expect(at.emergence.days.low).toBeCloseTo(7.5, 6);
    expect(at.emergence.normal).toEqual({ share: 0.98, source: 'Harrington and Minges 1954' });
  });

  it.each([
    ['pepper', '45F', 'At 45 °F no pepper seed comes up (Harrington and Minges 1954).'],
    ['cabbage', '100F', 'How long cabbage seed takes at 100 °F is in none of the trials'],
    ['mint', '70F', 'Spearmint is begun from cuttings: nothing emerges.'],
  ])('says so where %s at %s has no days', async (name, at, words) => {
    const { code, stdout } = await crop('show', name, '--at', at, '--units', 'us');
    expect(code).toBe(0);
    expect(told(stdout)).toContain(words);
    const { at: answer } = await resultOf('show', name, '--at', at);
    expect(answer).toMatchObject({ emergence: null, why: expect.stringContaining('.') });
  });

  it.each([
    [['show', 'tomatoe'], 'Did you mean "tomato"?'],
    [['show', 'tomato', '--at', '22'], 'has no unit'],
    [['show', 'tomato', '--at', '99C'], '-10 °C to 60 °C'],
    [['show'], 'name'],
    [['compare', 'tomato'], 'other'],
    [['compare', 'tomato', 'Tomato'], 'Both are tomato'],
  ])('refuses %j as wrong usage', async (words, why) => {
    const { code, stdout, stderr } = await crop(...words);
    expect(code).toBe(2);
    expect(stderr).toContain(why);
    expect(stdout).toBe('');
  });
});

describe('crop compare', () => {
  it('says whether one band brings both up', async () => {
    const apart = await crop('compare', 'lettuce', 'pepper');
    expect(told(apart.stdout)).toContain('give lettuce and pepper a tray each');
    const narrow = await crop('compare', 'carrot', 'lantana');
    expect(told(narrow.stdout)).toContain('narrower than a mat can hold');
    expect((await resultOf('compare', 'lettuce', 'pepper')).sharedBestC).toBeNull();
    // They meet in a single degree, which no mat holds.
    expect((await resultOf('compare', 'muskmelon', 'spinach')).sharedBestC).toBeNull();
    const together = await crop('compare', 'tomato', 'basil');
    expect(told(together.stdout)).toContain('Both are at their best at 24 to 29 °C');
    expect((await resultOf('compare', 'basil', 'tomato')).sharedBestC.low).toBeCloseTo(24, 6);
    for (const { stdout } of [apart, together]) expect(widest(stdout)).toBeLessThanOrEqual(80);
  });
});
