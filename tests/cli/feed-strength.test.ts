/** The strength of feeds: thinned, read by a meter, of stock solutions, and step by step. */
import { describe, expect, it } from 'vitest';
import { trayward } from './worlds';

/** A and B, 1:100 each, together 2 mS/cm more; 4 l of water that has 0.3. */

const feed = (...words: string[]) => trayward('feed', ...words);
const told = async (...words: string[]) => (await feed(...words)).stdout.replace(/\s+/g, ' ');
const result = async (...words: string[]) =>
  JSON.parse((await trayward('--json', 'feed', ...words)).stdout).result;

describe('feed dilute', () => {
  const STRONG = ['--volume', '4l', '--has', '1.3mS/cm', '--to', '0.8mS/cm'];

  it('asks no stock, and tells the same as mix', async () => {
    expect(await result('dilute', ...STRONG)).toEqual(await result('mix', ...STRONG));
    expect(await told('dilute', ...STRONG, '--water', '0.3mS/cm')).toContain(
      'Add 4 l of water; that makes 8 l',
    );
    expect((await feed('dilute', ...STRONG)).stderr).toBe('');
  });

  it('sends who wants it stronger to mix', async () => {
    const { code, stderr } = await feed(
      'dilute',
      '--volume',
      '4l',
      '--has',
      '0.3mS/cm',
      '--to',
      '0.8mS/cm',
    );
    expect(code).toBe(2);
    expect(stderr).toContain('trayward feed mix');
  });
});

describe('feed ec', () => {
  it.each([
    ['1.2mS/cm', 600, 768, 840],
    ['600ppm500', 600, 768, 840],
    ['768ppm640', 600, 768, 840],
    ['1200uS/cm', 600, 768, 840],
  ])('tells %s on each scale, both ways', async (typed, ppm500, ppm640, ppm700) => {
    const { ecMsCm, ...scales } = await result('ec', typed);
    expect(ecMsCm).toBeCloseTo(1.2, 9);
    expect(Object.values(scales).slice(2)).toEqual([
      expect.closeTo(ppm500, 6),
      expect.closeTo(ppm640, 6),
      expect.closeTo(ppm700, 6),
    ]);
    expect(await told('ec', typed)).toMatch(
      /^EC 1\.20 mS\/cm 1200 uS\/cm 600 ppm500 768 ppm640 840 ppm700/,
    );
  });

  it('brings a reading to 25 C with tenths of a degree, by ISO 7888', async () => {
    const at = async (c: string): Promise<number> =>
      (await result('ec', '1mS/cm', '--at', c)).ecMsCm;
    expect(await at('4.5C')).toBe(1.67);
    expect(await at('18C')).toBe(1.17);
    expect(await at('18.5C')).toBeLessThan(await at('18C'));
    expect((await feed('ec', '1mS/cm', '--at', '40C')).code).toBe(2);
  });

  it.each([
    [['1.2mS/cm', '--at', '4.5C'], '2000 uS/cm 1000 ppm500 1280 ppm640 1400 ppm700'],
    [['5mS/cm', '--at', '15C'], '6280 uS/cm 3140 ppm500 4020 ppm640 4400 ppm700'],
    [['1234uS/cm'], '1234 uS/cm 617 ppm500 790 ppm640 864 ppm700'],
  ])('tells of %j people as many digits as programs', async (words, told3) => {
    expect(await told('ec', ...words)).toContain(told3);
    const { ppm500, ppm640, ppm700 } = await result('ec', ...words);
    expect(told3).toContain(`${ppm500} ppm500 ${ppm640} ppm640 ${ppm700} ppm700`);
  });

  it('prints a standard as bottles do, and no error of nothing', async () => {
    const bottle = ['--bottle', '12.88mS/cm', '--at', '20C'];
    const exact = await told('ec', '11.666mS/cm', ...bottle);
    expect(exact).toContain('this bottle has 11.67 mS/cm');
    expect(exact).toContain('Yours is right. ');
    expect((await result('ec', '11.666mS/cm', ...bottle)).meter.errorShare).toBe(0);
  });

  it('tries a meter in its bottle by the curve of potassium chloride, and not by that of water', async () => {
    const bottle = ['--bottle', '1413uS/cm', '--at', '20C'];
    const { trueMsCm, meter } = await result('ec', '1.28mS/cm', ...bottle);
    expect(trueMsCm).toBeCloseTo(1.277, 3);
    expect(meter).toEqual({ errorShare: expect.closeTo(0.002, 3), state: 'good' });
    expect(await told('ec', ...bottle)).toContain('At 20.0 °C this bottle has 1.277 mS/cm');
    expect(await told('ec', '1.1mS/cm', ...bottle)).toContain('% low. Calibrate the meter');
    expect(await told('ec', '1.1uS/cm', ...bottle)).toContain('a wrong unit');
  });

  it.each([
    [[], 'The reading is missing'],
    [['600ppm'], 'does not say which scale'],
    [['1200'], 'has no unit'],
    [['1200mS/cm'], 'Did you mean 1200 uS/cm'],
    [
      ['-1mS/cm'],
      'EC cannot be less than 0, as "\u22121mS/cm" is. Check the sign. It is 0 to 25 mS/cm',
    ],
    [['1.2mS/cm', '--at', '18'], '0 °C to 35 °C'],
    [['1.2mS/cm', '--at', '36C'], '--at 36C is out of range: 0 °C to 35 °C'],
    [['1.2mS/cm', '--bottle', '1413uS/cm'], '--at is missing'],
    [['--bottle', '2mS/cm', '--at', '20C'], '0.084, 0.5, 1.413, 12.88'],
    [['--bottle', '1413uS/cm', '--at', '60C'], '0 °C to 40 °C'],
    [['--bottle', '84uS/cm', '--at', '2C'], '5 °C to 35 °C'],
  ])('refuses %j', async (words, why) => {
    const { code, stderr } = await feed('ec', ...words);
    expect(code).toBe(2);
    expect(stderr.replace(/\s+/g, ' ')).toContain(why);
  });
});

describe('feed stock', () => {
  const SALT = ['--want', '100', '--holds', '15.5%'];

  it('tells the grams of an injector’s tank, in US measures too', async () => {
    const { gPerL, totalG } = await result(
      'stock',
      ...SALT,
      '--injector',
      '1:100',
      '--volume',
      '5l',
    );
    expect(gPerL).toBeCloseTo(64.5, 1);
    expect(totalG).toBe(323);
    expect(await told('stock', ...SALT, '--volume', '1gal', '--units', 'us')).toContain(
      '8.61 oz to the gallon',
    );
  });

  it('reads a bag that tells phosphate or potash', async () => {
    const want = ['--want', '31', '--holds', '52%'];
    const phosphate = await result('stock', ...want, '--bag', 'p2o5');
    expect(phosphate.gPerL / (await result('stock', ...want)).gPerL).toBeCloseTo(1 / 0.4364, 1);
  });

  it.each([
    [['--want', '0', '--holds', '15%'], 2, '1 to 1000 mg/l'],
    [['--want', '100', '--holds', '0%'], 2, '0.1 % to 100 %'],
    [['--want', '100', '--holds', '150%'], 2, '0.1 % to 100 %'],
    [['--want', '500', '--holds', '5%', '--injector', '1:200'], 1, 'no stock dissolves more'],
    [[...SALT, '--injector', '100'], 2, 'no dilution'],
    [[...SALT, '--bag', 'kcl'], 2, 'element, p2o5 or k2o'],
  ])('refuses %j, exit %d', async (words, exit, why) => {
    const { code, stderr } = await feed('stock', ...words);
    expect(code).toBe(exit);
    expect(stderr.replace(/\s+/g, ' ')).toContain(why);
  });
});

describe('feed ladder', () => {
  it('tells each stage’s feed with its source, and where to begin', async () => {
    const { rungs, sources, shippedProfile } = await result('ladder', 'lettuce');
    const seedling = rungs.find(({ stage }: { stage: string }) => stage === 'seedling');
    expect(seedling.feedEcMsCm).toContainEqual(
      expect.objectContaining({ low: 1.2, source: 'Cornell handbook' }),
    );
    // First feed of lettuce: about EC 0.5 (common practice).
    expect(seedling.start).toEqual({ ecMsCm: 0.5, by: 'ec', mild: false });
    expect(seedling.lean).toBe(null);
    expect(sources.map(({ name }: { name: string }) => name)).toContain('Cornell handbook');
    expect(shippedProfile.length).toBeGreaterThan(0);
    expect(await told('ladder', 'Capsicum')).toContain(
      'own profile of pepper feeds milder on purpose, mS/cm: first-feed 0.9',
    );
  });

  it('begins no crop with more than EC 1.0, whatever is published for older plants', async () => {
    for (const crop of ['tomato', 'pepper', 'cucumber', 'eggplant']) {
      const { rungs } = await result('ladder', crop);
      const seedling = rungs.find(({ stage }: { stage: string }) => stage === 'seedling');
      expect(seedling.start.ecMsCm, crop).toBeLessThanOrEqual(1);
    }
    expect(await told('ladder', 'tomato')).toContain('no first feed is stronger (common practice)');
  });

  it('goes to the weak end of a range in strong light, and to the other in dim', async () => {
    const begin = async (dli: string) => {
      const { rungs } = await result('ladder', 'petunia', '--dli', dli);
      return rungs.find(({ stage }: { stage: string }) => stage === 'seedling');
    };
    // 50 to 75 mg/l of nitrogen in 4 to 8 mol/m2 a day, by its breeder; 0.0074 mS/cm for each mg/l.
    expect(await begin('12mol')).toMatchObject({
      lean: 'weaker',
      start: { by: 'nitrogen', ecMsCm: 0.37 },
    });
    expect(await begin('6mol')).toMatchObject({
      lean: 'as-told',
      start: { ecMsCm: 0.463 },
    });
    expect(await begin('2mol')).toMatchObject({
      lean: 'stronger',
      start: { ecMsCm: 0.555 },
    });
    const bright = await told('ladder', 'petunia', '--dli', '12mol');
    expect(bright).toContain('begin with about 0.4 mS/cm, rather weaker');
    expect(bright).toContain('No source known here tells by how much light changes feed');
    expect(await told('ladder', 'petunia')).not.toContain('by how much');
  });

  it.each([
    [['peper'], 'Did you mean "pepper"?'],
    [['pepper', '--dli', '200mol'], '0.1 mol/m²/d to 70 mol/m²/d'],
    [['pepper', '--dli', '12'], 'has no unit'],
  ])('refuses %j', async (words, why) => {
    const { code, stderr } = await feed('ladder', ...words);
    expect(code).toBe(2);
    expect(stderr.replace(/\s+/g, ' ')).toContain(why);
  });
});
