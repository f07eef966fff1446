/** Light of a day and lamp heights: what is told to a grower, and what is refused. */
import { describe, expect, it } from 'vitest';
import { trayward } from './worlds';

const told = (text: string): string => text.replace(/\s+/g, ' ');
const resultOf = async (...words: string[]) =>
  JSON.parse((await trayward('light', ...words, '--json')).stdout).result;

describe('light dli', () => {
  it('tells any of light, hours and sum from the two others', async () => {
    const sum = await resultOf('dli', '--ppfd', '200umol', '--hours', '16h');
    expect(sum.sumMolM2D).toBe(11.5);
    const light = await resultOf('dli', '--dli', '12mol', '--hours', '16h');
    expect(light.ppfdUmol).toBe(208);
    const hours = await resultOf('dli', '--dli', '12mol', '--ppfd', '250umol');
    expect(hours.hours).toBe(13.3);
    const { stdout } = await trayward('light', 'dli', '--ppfd', '200umol', '--hours', '16h');
    expect(stdout).toContain('11.5 mol/m²/d');
  });

  it('takes a lux meter’s reading with the lamp it was read under, and says how far it may be out', async () => {
    const words = ['dli', '--lux', '10000lux', '--lamp', 'sodium', '--hours', '10h'];
    const result = await resultOf(...words);
    // 122 within 15 %: no more than two digits are known, and so of the sum.
    expect(result).toMatchObject({ ppfdUmol: 120, leastUmol: 100, mostUmol: 140 });
    expect(result).toMatchObject({ sumMolM2D: 4.4, leastMolM2D: 3.7, mostMolM2D: 5 });
    const { stdout } = await trayward('light', ...words);
    expect(stdout).toContain('100 to 140 µmol/m²/s');
    expect(told(stdout)).toContain('within 15 %');
    expect(told(stdout)).toContain('Under high-pressure sodium lamps 82 lux are');
    expect(told((await trayward('light', ...words, '--units', 'us')).stdout)).toContain('929 fc');
  });

  it('aims at what the crop wants in its stage, with who says so', async () => {
    const result = await resultOf('dli', '--crop', 'pepper', '--hours', '16h');
    expect(result.wanted).toMatchObject({ crop: 'pepper', stage: 'seedling', judged: 'enough' });
    expect(result.sumMolM2D).toBeCloseTo(result.wanted.lowMolM2D, 6);
    const little = await resultOf('dli', '--crop', 'pepper', '--hours', '12h', '--ppfd', '50umol');
    expect(little.wanted.judged).toBe('less');
    const text = await trayward('light', 'dli', '--crop', 'pepper', '--hours', '16h');
    expect(text.stdout).toContain(result.wanted.sources[0]);
  });

  it('does not say less or enough where the meter does not tell', async () => {
    // 154 umol give 8.9 mol, 10.2 at most; pepper wants 10.
    const words = [
      '--lux',
      '10000lux',
      '--lamp',
      'white-led',
      '--hours',
      '16h',
      '--crop',
      'pepper',
    ];
    expect((await resultOf('dli', ...words)).wanted.judged).toBe('unsure');
    expect(told((await trayward('light', 'dli', ...words)).stdout)).toContain('not tell closely');
  });

  it('asks for some dark in a very long day', async () => {
    const long = await trayward('light', 'dli', '--ppfd', '100umol', '--hours', '24h');
    expect(told(long.stdout)).toContain('Leave some dark');
    const usual = await trayward('light', 'dli', '--ppfd', '100umol', '--hours', '16h');
    expect(usual.stdout).not.toContain('Leave some dark');
  });

  it.each([
    [['--ppfd', '200umol'], 'not enough to go by'],
    [[], 'not enough to go by'],
    [['--ppfd', '200umol', '--hours', '16h', '--dli', '9mol'], 'All three'],
    [['--lux', '900fc', '--hours', '16h'], '--lamp is missing'],
    [['--lux', '900fc', '--ppfd', '200umol', '--hours', '16h'], 'not both'],
    [['--ppfd', '200', '--hours', '16h'], 'no unit'],
    [['--lux', '1000000lux', '--lamp', 'sun'], '1 lux to 200000 lux. Full sun is 108000 lux'],
    [['--ppfd', '20000umol', '--hours', '16h'], '0.1 µmol/m²/s to 3000 µmol/m²/s'],
    [['--ppfd', '0umol', '--hours', '16h'], 'out of range'],
    [['--dli', '12mol', '--hours', '30h'], 'A day has 24 h'],
    [['--dli', '200mol', '--hours', '12h'], 'out of range'],
    [['--crop', 'peper', '--hours', '16h'], 'Did you mean "pepper"?'],
    [['--crop', 'pepper', '--stage', 'callus', '--hours', '16h'], 'no light for a stage "callus"'],
    [['--stage', 'grow', '--hours', '16h', '--dli', '9mol'], '--stage needs --crop'],
  ])('refuses %j as wrong usage', async (words, why) => {
    const { code, stderr, stdout } = await trayward('light', 'dli', ...words);
    expect(code).toBe(2);
    expect(told(stderr)).toContain(why);
    expect(stdout).toBe('');
  });

  it('refuses what no day, and no lamp, can give', async () => {
    const long = await trayward('light', 'dli', '--dli', '12mol', '--ppfd', '100umol');
    expect(long.code).toBe(1);
    expect(told(long.stderr)).toContain('Even 24 hours of that light give only 8.6');
    expect((await trayward('light', 'dli', '--dli', '60mol', '--hours', '2h')).code).toBe(1);
  });
});

describe('light height', () => {
  it('says how much higher the lamp hangs for the light wanted, with the lamp’s cautions', async () => {
    const words = ['height', '--at', '40cm', '--ppfd', '300umol', '--want', '150umol'];
    const result = await resultOf(...words);
    expect(result.heightM).toBe(0.566);
    expect(result.ppfdUmol).toBe(150);
    const { stdout, stderr } = await trayward('light', ...words);
    expect(stdout).toContain('57 cm above the leaves, 17 cm higher than now');
    expect(told(stderr)).toContain('Local codes');
    expect(stdout).toMatch(/ 113 cm +/);
    expect(stdout).not.toMatch(/\d m /);
    const us = await trayward('light', ...words, '--units', 'us');
    expect(us.stdout).toContain('22 in above the leaves, 6.5 in higher');
    const high = await trayward(
      'light',
      'height',
      '--at',
      '95cm',
      '--height',
      '105cm',
      '--ppfd',
      '300umol',
    );
    expect(high.stdout).toContain('1.05 m above the leaves, 0.10 m higher than now');
  });

  it('lets a panel hang higher than a small lamp: its light falls off less', async () => {
    const words = ['height', '--at', '40cm', '--ppfd', '300umol', '--want', '150umol'];
    const panel = await resultOf(...words, '--panel', '60x60cm');
    const round = await resultOf(...words, '--round', '68cm');
    expect(panel.heightM).toBeGreaterThan(0.62);
    expect(round.heightM).toBeCloseTo(panel.heightM, 1);
    expect(await resultOf(...words, '--panel', '24 x 24 in')).toMatchObject({ shape: 'panel' });
  });

  it('keeps the light when the lamp is changed', async () => {
    const { stdout } = await trayward('light', 'height', '--at', '40cm', '--times', '2');
    expect(told(stdout)).toContain(
      '57 cm above the leaves, 17 cm higher than now, it gives the same',
    );
  });

  it('tells the light at another height, and how it goes around there', async () => {
    const words = ['height', '--at', '50cm', '--ppfd', '200umol', '--height', '1m'];
    const result = await resultOf(...words);
    expect(result.ppfdUmol).toBe(50);
    expect(result.around).toHaveLength(6);
    const { stdout } = await trayward('light', ...words);
    expect(stdout).toMatch(/ 0\.50 m +200 µmol.*\n.* 2\.00 m +13 µmol/s);
    expect(stdout).not.toMatch(/^ +\d+ cm/m);
    const us = await trayward('light', ...words, '--units', 'us');
    expect(us.stdout).toMatch(/ 20 in +200 µmol/);
    expect(us.stdout).not.toMatch(/ ft /);
  });

  it.each([
    [['--at', '40cm'], 'Nothing is asked'],
    [['--height', '40cm'], '--at is missing'],
    [['--at', '40cm', '--want', '100umol'], '--want needs --ppfd'],
    [['--at', '40cm', '--want', '100umol', '--height', '1m'], 'not both'],
    [['--at', '1mm', '--times', '2'], '2 cm to 20 m'],
    [['--at', '40cm', '--times', '0'], '0.01 to 100'],
    [['--at', '40cm', '--times', '2', '--panel', 'big'], 'no size of a panel'],
    [['--at', '40cm', '--times', '2', '--panel', '60x60'], 'no size of a panel'],
    [['--at', '40cm', '--times', '2', '--panel', '60x60km'], 'no size of a panel'],
    [['--at', '40cm', '--times', '2', '--panel', '60x60m'], 'out of range'],
    [['--at', '40cm', '--times', '2', '--panel', '6x6cm', '--round', '6cm'], 'not both'],
  ])('refuses %j as wrong usage', async (words, why) => {
    const { code, stderr, stdout } = await trayward('light', 'height', ...words);
    expect(code).toBe(2);
    expect(told(stderr)).toContain(why);
    expect(stdout).toBe('');
  });

  it('takes the ends of the range themselves', async () => {
    for (const at of ['2cm', '20m']) {
      expect((await trayward('light', 'height', '--at', at, '--height', at)).code).toBe(0);
    }
  });

  it('refuses more light than a panel has, however near it hangs', async () => {
    const words = ['--at', '30cm', '--ppfd', '300umol', '--want', '2000umol', '--panel', '60x60cm'];
    const { code, stderr } = await trayward('light', 'height', ...words);
    expect(code).toBe(1);
    expect(told(stderr)).toContain('no more than 1.8 times');
  });
});
