/** Mixing the reservoir: what is told to a grower, and what is refused. */
import { describe, expect, it } from 'vitest';
import { trayward } from './worlds';

/** A and B, 1:100 each, together 2 mS/cm more; 4 l of water that has 0.3. */
const FRESH = ['--volume', '4l', '--has', '0.3mS/cm', '--to', '0.8mS/cm', '--gain', '2mS/cm'];
const mix = (...words: string[]) => trayward('feed', 'mix', ...words);
const resultOf = async (...words: string[]) =>
  JSON.parse((await mix('--json', ...words)).stdout).result;

describe('feed mix', () => {
  it('tells how much of each stock a fresh mix takes: the water’s own EC counts', async () => {
    // 0.5 mS/cm of the 2 that 1:100 gives, in 4 l.
    expect(await resultOf(...FRESH)).toEqual({ add: 'stock', eachMl: expect.closeTo(10, 6) });
    const { stdout, stderr } = await mix(...FRESH);
    expect(stdout).toMatch(/^Add 10\.0 ml of the stock to 4\.00 l/);
    expect(stderr).toContain('gloves');
  });

  it('thins what is too strong with water, and says what that comes to', async () => {
    const strong = ['--volume', '2l', '--has', '1.2mS/cm', '--to', '0.8mS/cm', '--gain', '2mS/cm'];
    expect(await resultOf(...strong)).toEqual({
      add: 'water',
      waterMl: expect.closeTo(1000, 6),
      pourOutMl: 0,
    });
    expect((await mix(...strong)).stdout).toContain('that makes 3.00 l');
    const refused = await mix(...strong, '--water', '0.9mS/cm');
    expect(refused.code).toBe(1);
    expect(refused.stderr).toContain('Use rain or purified water');
  });

  it('needs no stock, and so nothing of it, to thin what is too strong', async () => {
    const strong = ['--volume', '4l', '--has', '1.3mS/cm', '--to', '0.8mS/cm'];
    expect((await mix(...strong)).stdout).toContain('Add 2.50 l of water');
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

  it('never asks for more water than the reservoir has room for: some is poured out first', async () => {
    const strong = ['--volume', '4l', '--has', '1.6mS/cm', '--to', '0.8mS/cm', '--gain', '2mS/cm'];
    const step = await resultOf(...strong, '--reservoir', '5l');
    const keptMl = 4_000 - step.pourOutMl;
    expect(keptMl + step.waterMl).toBeCloseTo(5_000, 6);
    // The salt that is left, in the full reservoir, is the strength wanted.
    expect((1.6 * keptMl) / 5_000).toBeCloseTo(0.8, 6);
    const { stdout } = await mix(...strong, '--reservoir', '5l');
    expect(stdout.replace(/\s+/g, ' ')).toContain(
      'pour 1.50 l out, then fill up with 2.50 l of water, to 5.00 l',
    );
    expect((await resultOf(...strong, '--reservoir', '8l')).pourOutMl).toBe(0);
    const over = await mix(...strong, '--reservoir', '3l');
    expect(over.code).toBe(2);
    expect(over.stderr).toContain('than it holds');
  });

  it('takes another dilution, and brings a reading at another temperature to 25 C', async () => {
    const weaker = await resultOf(...FRESH, '--stock', '1:200');
    expect(weaker.eachMl).toBeCloseTo(5, 6);
    // ISO 7888: 0.3 read at 20 C counts 0.3348 at 25 C.
    const cool = await resultOf(...FRESH, '--at', '20C');
    expect(cool.eachMl).toBeCloseTo((4000 * (0.8 - 0.3348)) / 200, 2);
  });

  it('reads ppm where its scale is named, and no bare ppm', async () => {
    const named = ['--volume', '4l', '--has', '150ppm500', '--to', '400ppm500', '--gain', '2mS/cm'];
    expect((await resultOf(...named)).eachMl).toBeCloseTo(10, 6);
    expect((await mix(...FRESH, '--to', '400ppm')).code).toBe(2);
  });

  it.each([
    [['--volume', '4l'], '--has is missing'],
    [[...FRESH, '--stock', 'strong'], 'no dilution'],
    [[...FRESH, '--stock', '1:0'], 'no dilution'],
    [[...FRESH, '--at', '50C'], '0 to 35 C'],
    [[...FRESH, '--volume', '-4l'], 'less than 0'],
  ])('refuses %j as wrong usage', async (words, why) => {
    const { code, stderr, stdout } = await mix(...words);
    expect(code).toBe(2);
    expect(stderr).toContain(why);
    expect(stdout).toBe('');
  });
});
