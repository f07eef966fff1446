/** Water before it meets a plant: acid, soak and test, as a grower reads them. */
import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { main } from '../../cli/main';
import { trayward, worldOf } from './worlds';

const told = (text: string): string => text.replace(/\s+/g, ' ');
const resultOf = async (...words: string[]) =>
  JSON.parse((await trayward('--json', 'water', ...words)).stdout).result;

/** 100 mg/l, pH 7.8, to 5.8 with phosphoric acid of 75 %. */
const TAP = ['--alkalinity', '100mg/l CaCO3', '--ph', '7.8'];
const PHOSPHORIC = [...TAP, '--acid', 'phosphoric', '--strength', '75%'];
const acid = (...words: string[]) => trayward('water', 'acid', ...words);

describe('water acid', () => {
  it('tells the dose, what it takes, leaves and adds, and how to go about it', async () => {
    const { stdout, stderr, code } = await acid(...PHOSPHORIC, '--volume', '20l');
    expect(code).toBe(0);
    expect(told(stdout)).toMatch(
      /^Acid 0\.123 ml to a litre 2\.5 ml for 20\.0 l Takes 78 mg\/l CaCO3/,
    );
    expect(told(stdout)).toMatch(/Leaves 22 mg\/l CaCO3 Adds P 46 mg\/l/);
    expect(told(stdout)).toContain('Put nine tenths in, stir');
    expect(told(stderr)).toMatch(
      /gloves, goggles.*Acid goes into water.*Never mix it with bleach.*local rules/,
    );
    const result = await resultOf('acid', ...PHOSPHORIC, '--volume', '20l');
    expect(result).toMatchObject({ acid: 'phosphoric', unit: 'ml', adds: { nMgL: 0, sMgL: 0 } });
    expect(result.total).toBeCloseTo(20 * result.perL, 9);
  });

  it('says its cautions to programs too', async () => {
    expect((await acid('--json', ...PHOSPHORIC)).stderr).toContain('gloves, goggles');
  });

  it('tells US growers ml to a gallon, and ounces to 100 gallons as their tables do', async () => {
    const { stdout } = await acid('--units', 'us', ...PHOSPHORIC);
    expect(told(stdout)).toMatch(
      /0\.46 ml to a gallon \(1\.57 fl oz to 100 gal\).* 78 ppm CaCO3 of 100/,
    );
  });

  it('has less than a ml thinned first, so that it can be measured', async () => {
    const { stdout } = await acid(
      ...TAP,
      '--acid',
      'sulfuric',
      '--strength',
      '93%',
      '--volume',
      '4l',
    );
    expect(told(stdout)).toMatch(
      /0\.17\d? ml for 4\.00 l: too little to measure.*1 part of acid into 9 of water: of that, 1\.7\d? ml/,
    );
  });

  it('weighs citric acid, and takes mol/l and a density where the label has them', async () => {
    const citric = [...TAP, '--acid', 'citric', '--strength', 'monohydrate'];
    expect(await resultOf('acid', ...citric)).toMatchObject({ unit: 'g' });
    const byMass = await resultOf('acid', ...PHOSPHORIC, '--density', '1.58');
    const byMol = await resultOf('acid', ...TAP, '--acid', 'phosphoric', '--strength', '12.09M');
    expect(byMass.perL / byMol.perL).toBeCloseTo(1, 2);
  });

  it('needs more acid in cold water', async () => {
    const at = async (c: string) =>
      (await resultOf('acid', ...PHOSPHORIC, '--temperature', c)).perL;
    expect(await at('8C')).toBeGreaterThan(1.02 * (await at('25C')));
  });

  it('tells how far what there is would go, where it is not enough', async () => {
    const { code, stderr } = await acid(...PHOSPHORIC, '--volume', '20l', '--have', '1ml');
    expect(code).toBe(1);
    expect(told(stderr)).toMatch(
      /takes 2\.5 ml; what you have brings the water from pH 7\.8 to 6\.6 only/,
    );
    expect((await acid(...PHOSPHORIC, '--volume', '20l', '--have', '3ml')).code).toBe(0);
  });

  it('refuses so much of an acid that it feeds seedlings too much, and names who says so', async () => {
    const hard = ['--alkalinity', '14dKH', ...PHOSPHORIC.slice(2)];
    const { code, stderr, stdout } = await acid(...hard);
    expect(code).toBe(1);
    expect(told(stderr)).toMatch(/mg\/l of phosphorus.*Univ. of Massachusetts.*blend first/);
    expect(stdout).toBe('');
  });

  it.each([
    [[...PHOSPHORIC, '--to', '8'], 2, '5 to 7'],
    [[...PHOSPHORIC, '--to', '4'], 2, 'stone wool dissolves'],
    [['--alkalinity', '100ppm', ...PHOSPHORIC.slice(2)], 2, 'does not say of what'],
    [[...TAP, '--acid', 'vinegar', '--strength', '5%'], 2, '--acid vinegar is none of them.'],
    [[...TAP, '--acid', 'citric', '--strength', '99%'], 2, 'monohydrate or anhydrous'],
    [[...TAP, '--acid', 'nitric', '--strength', 'strong'], 2, 'no strength of an acid'],
    [[...TAP, '--acid', 'nitric', '--strength', '0.01N'], 2, 'counts protons'],
    [[...TAP, '--acid', 'nitric', '--strength', '98%'], 2, '70 % at most'],
    [[...TAP, '--acid', 'nitric', '--strength', 'anhydrous'], 2, 'comes as a solution'],
    [[...TAP, '--acid', 'nitric', '--strength', '5M', '--density', '1.2'], 2, 'share of mass'],
    [[...PHOSPHORIC, '--have', '5ml'], 2, '--have needs --volume'],
    [[...PHOSPHORIC, '--volume', '0l'], 2, '10 ml to 50000 l'],
    [
      [...TAP, '--acid', 'citric', '--strength', 'anhydrous', '--volume', '1l', '--have', '5ml'],
      2,
      'A powder is weighed',
    ],
    [[...PHOSPHORIC, '--ph', '15'], 2, '5.5 to 10. Taps and wells'],
    [['--ph', '7.8', '--acid', 'nitric', '--strength', '60%'], 2, '--alkalinity is missing'],
  ])('refuses %j, exit %d', async (words, exit, why) => {
    const { code, stderr, stdout } = await acid(...words);
    expect(code).toBe(exit);
    expect(told(stderr)).toContain(why);
    expect(stdout).toBe('');
  });
});

describe('water test', () => {
  const test = (...words: string[]) => trayward('water', 'test', ...words);

  it('finds good water fit, and says by whose limits', async () => {
    const good = [
      '--ec',
      '0.3mS/cm',
      '--ph',
      '6.5',
      '--alkalinity',
      '1meq/l',
      '--hardness',
      '5dGH',
    ];
    const { stdout } = await test(...good);
    expect(stdout).toMatch(/^Fit for seedlings in plugs\./);
    const { fitness, findings } = await resultOf('test', ...good);
    expect(fitness).toBe('good');
    expect(findings).toHaveLength(4);
    for (const { source } of findings) expect(source).not.toBe('');
  });

  it.each([
    [['--ec', '0.8mS/cm'], 'unfit', 'Too many salts for plugs'],
    [['--ec', '0.6mS/cm'], 'with-care', 'count towards the feed'],
    [['--ph', '7.8'], 'with-care', 'By itself that does no harm'],
    [['--alkalinity', '0.2meq/l'], 'with-care', 'Little to hold the pH'],
    [['--alkalinity', '90mg/l CaCO3'], 'with-care', 'acid feed'],
    [['--alkalinity', '180mg/l CaCO3'], 'unfit', 'trayward water acid'],
    [['--hardness', '20dGH'], 'with-care', 'Hard'],
    [['--hardness', '1dGH'], 'with-care', 'Soft'],
    [['--alkalinity', '4meq/l', '--hardness', '1meq/l'], 'unfit', 'softener'],
    [['--ec', '0.1mS/cm', '--alkalinity', '1.2meq/l'], 'good', ''],
    [['--ec', '0.04mS/cm', '--alkalinity', '1.2meq/l'], 'with-care', 'do not go together'],
  ])('of %j says %s: %s', async (words, fitness, says) => {
    expect((await resultOf('test', ...words)).fitness).toBe(fitness);
    expect(told((await test(...words)).stdout)).toContain(says);
  });

  it('refuses to judge nothing, and readings that cannot be', async () => {
    expect((await test()).stderr).toContain('nothing to judge');
    expect((await test('--ec', '400mS/cm')).stderr).toContain('Did you mean 400 uS/cm');
    expect((await test('--ph', '15')).code).toBe(2);
  });
});

describe('water soak', () => {
  const soak = (...words: string[]) => trayward('water', 'soak', ...words);

  // Facts of the trade; what wool holds by its volume: tests/reference/soak.test.ts.
  it.each([
    ['plug-36', 15, 30],
    ['block-75', 300, 300],
    ['block-100', 300, 300],
    ['100x100x65mm', 300, 300],
    ['4 x 4 x 2.5 in', 300, 300],
    ['block-150', 900, 900],
    ['slab-1000', 1800, 1800],
  ])('of %s takes %d to %d s', async (size, fromS, toS) => {
    expect(await resultOf('soak', '--pieces', '6', '--size', size)).toMatchObject({ fromS, toS });
  });

  it('tells what to mix and the steps: shake, never squeeze, pour away, then feed', async () => {
    const { stdout, stderr } = await soak('--pieces', '98', '--size', 'plug-36');
    expect(told(stdout)).toMatch(/^Mix 5\.8 l the wool takes up 4\.8 l Keeps 4\.1 l/);
    expect(told(stdout)).toMatch(
      /pH 5\.5.*15 s to 30 s.*shake off.*Do not squeeze.*Pour the bath away.*Then feed/,
    );
    expect(told(stderr)).toMatch(/mask.*gloves, goggles/);
  });

  it('fills slabs in their film, and cuts them after', async () => {
    const { stdout } = await soak('--pieces', '6', '--size', 'slab-1000', '--units', 'us');
    expect(told(stdout)).toMatch(
      /16\.9 gal.*uncut.*30 min\. 3\. Then cut the drain slits.*pour it away.*Then feed/,
    );
  });

  it.each([
    [['--size', 'plug-36'], '--pieces is missing'],
    [['--pieces', '0', '--size', 'plug-36'], 'from 1 to'],
    [['--pieces', '6', '--size', 'blok-100'], 'Did you mean "block-100"?'],
    [['--pieces', '6', '--size', '100x100mm'], 'no size of stone wool'],
    [['--pieces', '6', '--size', '0x10x10mm'], 'no size of stone wool'],
    [['--pieces', '6', '--size', '10x10x1kg'], 'no size of stone wool'],
    [['--pieces', '6', '--size', '5x5x5mm'], 'sides of 10 mm to 160 mm'],
    [
      ['--pieces', '6', '--size', '300x300x300mm'],
      'no slab is larger than 1330 mm x 300 mm x 100 mm',
    ],
    [['--pieces', '6', '--size', '300x300x300mm', '--units', 'us'], 'sides of 0.394 in to 6.29 in'],
    [['--pieces', '6', '--size', 'plug-36', '--timer'], 'at a terminal'],
  ])('refuses %j', async (words, why) => {
    const { code, stderr } = await soak(...words);
    expect(code).toBe(2);
    expect(told(stderr)).toContain(why);
  });

  describe('with --timer', () => {
    /** A person at a terminal who presses Enter when asked; time passes only in pauses. */
    async function guided(words: readonly string[], stopAtS = Number.POSITIVE_INFINITY) {
      const stdin = Object.assign(new PassThrough(), { isTTY: true });
      const abort = new AbortController();
      let nowMs = 0;
      let said = '';
      const code = await main(['water', 'soak', '--pieces', '6', ...words], {
        ...worldOf({ stdin, interrupt: abort.signal, now: () => nowMs }),
        async pause(ms) {
          nowMs += ms;
          if (nowMs >= stopAtS * 1000) abort.abort();
        },
        stdout: { write: (text) => (said += text) },
        stderr: {
          isTTY: true,
          write(text) {
            said += text;
            if (told(text).includes('press Enter')) stdin.write('\n');
          },
        },
      });
      return { code, said: told(said), nowMs };
    }

    it('goes along step by step, and keeps the time by the clock', async () => {
      const { code, said, nowMs } = await guided(['--size', 'block-100', '--timer']);
      expect(code).toBe(0);
      expect(nowMs).toBe(300_000);
      expect(said).toMatch(
        /pH 5\.5.*Then press Enter\. Lay the pieces in.*Soaking: 300 of 300 Now: out with them\. .*shake off.*Pour the bath away.*Then feed.*Soaked\./,
      );
    });

    it('calls plugs out after 15 s, and says how long that may take', async () => {
      const { said, nowMs } = await guided(['--size', 'plug-36', '--timer']);
      expect(nowMs).toBe(15_000);
      expect(said).toContain('Now: out with them within 15 s.');
    });

    it('ends at Ctrl-C, at once', async () => {
      const { code, said, nowMs } = await guided(['--size', 'slab-1000', '--timer'], 60);
      expect(code).toBe(130);
      expect(nowMs).toBe(60_000);
      expect(said).not.toContain('cut the drain slits');
    });
  });
});
