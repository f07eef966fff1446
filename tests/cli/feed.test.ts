/** How to mix a feed: what is told to a grower, and what is refused. */
import { describe, expect, it } from 'vitest';
import { trayward } from './worlds';

/** A and B, 1:100 each, together 2 mS/cm more; 4 l of water that has 0.3. */
const FRESH = ['--volume', '4l', '--has', '0.3mS/cm', '--to', '0.8mS/cm', '--gain', '2mS/cm'];
const mix = (...words: string[]) => trayward('feed', 'mix', ...words);
const resultOf = async (...words: string[]) =>
  JSON.parse((await mix('--json', ...words)).stdout).result;

describe('feed mix', () => {
  it('tells how much of each stock a fresh mix takes: the water’s own EC counts', async () => {
    // 0.5 mS/cm of the 2 that 1:100 gives, in 4 l; and for the 20 ml of A and B themselves.
    const { add, eachMl, makesMl } = await resultOf(...FRESH);
    expect(add).toBe('stock');
    expect(eachMl).toBeCloseTo(10 / (1 - 1.6 / 200), 1);
    expect(makesMl).toBe(4020);
    const { stdout, stderr } = await mix(...FRESH);
    expect(stdout).toMatch(/^Add 10\.1 ml of A to 4 l, stirred in, then 10\.1 ml of B; /);
    expect((await mix(...FRESH, '--parts', '1')).stdout).toMatch(/^Add 10 ml of the stock to/);
    expect(stderr).toContain('gloves');
  });

  it('thins what is too strong with water, and says what that comes to', async () => {
    const strong = ['--volume', '2l', '--has', '1.2mS/cm', '--to', '0.8mS/cm', '--gain', '2mS/cm'];
    expect(await resultOf(...strong)).toEqual({
      add: 'water',
      waterMl: 1000,
      pourOutMl: 0,
      makesMl: 3000,
    });
    expect((await mix(...strong)).stdout).toContain('that makes 3 l');
    const refused = await mix(...strong, '--water', '0.9mS/cm');
    expect(refused.code).toBe(1);
    expect(refused.stderr).toContain('Use rain or purified water');
  });

  it('needs no stock, and so nothing of it, to thin what is too strong', async () => {
    const strong = ['--volume', '4l', '--has', '1.3mS/cm', '--to', '0.8mS/cm'];
    expect((await mix(...strong)).stdout).toContain('Add 2.5 l of water');
    const weak = await mix('--volume', '4l', '--has', '0.3mS/cm', '--to', '0.8mS/cm');
    expect(weak.code).toBe(2);
    expect(weak.stderr).toContain('--gain is missing');
  });

  it.each([
    ['--to', '800mS/cm', 'any crop here is given'],
    ['--has', '300mS/cm', 'any feed has'],
    ['--water', '100mS/cm', 'any feed has'],
    ['--gain', '2000mS/cm', 'any feed has'],
  ])('takes %s %s for a slip of the unit', async (flag, value, why) => {
    const { code, stderr } = await mix(...FRESH, flag, value);
    expect(code).toBe(2);
    expect(stderr.replace(/\s+/g, ' ')).toContain(`${flag} ${value} is more than ${why}`);
  });

  it.each([
    ['--to', '0.8uS/cm', 'Did you mean 0.8 mS/cm'],
    ['--to', '1.2ppm500', 'Did you mean 1.2 mS/cm'],
    ['--to', '800mS/cm', 'Did you mean 800 uS/cm'],
    ['--gain', '2uS/cm', 'Did you mean 2 mS/cm'],
    ['--has', '300mS/cm', 'Did you mean 300 uS/cm'],
    ['--has', '0.3uS/cm', 'Did you mean 0.3 mS/cm'],
    ['--water', '0.4uS/cm', 'Did you mean 0.4 mS/cm'],
    ['--has', '0.3ppm500', 'Did you mean 0.3 mS/cm'],
  ])('says what %s %s was meant to be', async (flag, value, meant) => {
    const { code, stderr } = await mix(...FRESH, flag, value);
    expect(code).toBe(2);
    expect(stderr.replace(/\s+/g, ' ')).toContain(meant);
  });

  it('takes water with nothing in it, and what purified water and rain have', async () => {
    for (const pure of ['0uS/cm', '5uS/cm', '0.01mS/cm', '25uS/cm']) {
      expect((await mix(...FRESH, '--has', pure)).code, pure).toBe(0);
    }
    const purest = await mix(...FRESH, '--has', '2uS/cm');
    expect(purest.stderr.replace(/\s+/g, ' ')).toContain('counts as 0 mS/cm');
  });

  it('never asks for more water than the reservoir has room for: some is poured out first', async () => {
    const strong = ['--volume', '4l', '--has', '1.6mS/cm', '--to', '0.8mS/cm', '--gain', '2mS/cm'];
    const step = await resultOf(...strong, '--reservoir', '5l');
    const keptMl = 4_000 - step.pourOutMl;
    expect(keptMl + step.waterMl).toBe(5_000);
    // The salt that is left, in the full reservoir, is the strength wanted.
    expect((1.6 * keptMl) / 5_000).toBeCloseTo(0.8, 6);
    const { stdout } = await mix(...strong, '--reservoir', '5l');
    expect(stdout.replace(/\s+/g, ' ')).toContain(
      'pour 1.5 l out, then fill up with 2.5 l of water, to 5 l',
    );
    expect((await resultOf(...strong, '--reservoir', '8l')).pourOutMl).toBe(0);
    const full = await mix(...FRESH, '--reservoir', '4l');
    expect(full.stdout).toMatch(/^There is no room: pour 20 ml out first\. Add 10 ml of A/);
    const over = await mix(...strong, '--reservoir', '3l');
    expect(over.code).toBe(2);
    expect(over.stderr).toContain('than it holds');
  });

  it('takes another dilution, and brings a reading at another temperature to 25 C', async () => {
    const weaker = await resultOf(...FRESH, '--stock', '1:200');
    expect(weaker.eachMl).toBeCloseTo(5 / (1 - 1.6 / 400), 2);
    // ISO 7888: 0.3 read at 20 C counts 0.3348 at 25 C.
    const cool = await resultOf(...FRESH, '--at', '20C');
    expect(cool.eachMl).toBeCloseTo((4000 * (0.8 - 0.3348)) / (200 - 1.6), 1);
  });

  it('tells the ends of a range with three digits, and takes them', async () => {
    const US = ['--units', 'us', '--volume'];
    const { stderr } = await mix(...FRESH, ...US, '30000gal');
    expect(stderr).toContain('0.339 fl oz to 13200 gal');
    for (const end of ['0.339fl oz', '13200gal']) {
      expect((await mix(...FRESH, ...US, end)).code, end).toBe(0);
    }
  });

  it('reads ppm where its scale is named, and no bare ppm', async () => {
    const named = ['--volume', '4l', '--has', '150ppm500', '--to', '400ppm500', '--gain', '2mS/cm'];
    expect((await resultOf(...named)).eachMl).toBe(10.1);
    expect((await mix(...FRESH, '--to', '400ppm')).code).toBe(2);
  });

  it.each([
    [['--volume', '4l'], '--has is missing'],
    [[...FRESH, '--stock', 'strong'], 'no dilution'],
    [[...FRESH, '--stock', '1:0'], 'no dilution'],
    [[...FRESH, '--parts', '3'], 'Give 1 or 2.'],
    [[...FRESH, '--at', '50C'], '0 °C to 35 °C'],
    [[...FRESH, '--volume', '-4l'], 'less than 0'],
  ])('refuses %j as wrong usage', async (words, why) => {
    const { code, stderr, stdout } = await mix(...words);
    expect(code).toBe(2);
    expect(stderr).toContain(why);
    expect(stdout).toBe('');
  });
});

describe('a refusal', () => {
  it('has its range and its examples in the units in use', async () => {
    const { stderr } = await trayward('feed', 'ec', '1.2mS/cm', '--at', '100F', '--units', 'us');
    const words = stderr.replace(/\s+/g, ' ');
    expect(words).toContain('--at 100F is out of range: 32 °F to 95 °F');
    expect(words).toContain('brought to 25 °C (77 °F)');
    expect(words).toContain('feed ec 1.12mS/cm --at 65F');
    const bare = await mix(...FRESH, '--volume', '4', '--units', 'us');
    expect(bare.stderr.replace(/\s+/g, ' ')).toContain('for example "1.4 fl oz"');
  });
});
