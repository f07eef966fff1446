/** The air round the leaves: what is told to a grower, and what is refused. */
import { describe, expect, it } from 'vitest';
import { trayward } from './worlds';

const told = (text: string): string => text.replace(/\s+/g, ' ');
const vpd = (...words: string[]) => trayward('air', 'vpd', ...words);
const resultOf = async (...words: string[]) =>
  JSON.parse((await vpd(...words, '--json')).stdout).result;

describe('air vpd', () => {
  it('tells deficit, dew point and how far the meter leaves them open', async () => {
    const result = await resultOf('--air', '25C', '--humidity', '50%');
    expect(result.vpdKpa).toBe(1.58);
    expect(result.dewPointC).toBe(13.9);
    expect(result.doubtKpa).toBe(0.1);
    const { stdout } = await vpd('--air', '77F', '--humidity', '50%', '--units', 'us');
    expect(stdout).toContain('1.58 kPa  give or take 0.10 kPa');
    expect(stdout).toContain('57.0 °F');
  });

  it('reckons with the leaf’s own temperature, told or as an offset', async () => {
    const offset = await resultOf('--air', '26C', '--humidity', '60%', '--leaf-offset', '-2K');
    const leaf = await resultOf('--air', '26C', '--humidity', '60%', '--leaf', '24C');
    expect(offset).toEqual(leaf);
    expect(leaf.leafVpdKpa).toBe(0.97);
    expect(leaf.vpdKpa).toBeCloseTo(1.345, 1);
  });

  it('tells no dew point closer than the hygrometer does: in very dry air, only what it is below', async () => {
    const [driest, dry, usual] = await Promise.all(
      ['1%', '10%', '50%'].map((humidity) => resultOf('--air', '20C', '--humidity', humidity)),
    );
    expect(driest).toMatchObject({ dewPointC: null, dewPointMostC: -23 });
    expect(dry).toMatchObject({ dewPointC: -12, dewPointMostC: -9 });
    expect(usual.dewPointC).toBe(9.3);
    const { stdout } = await vpd('--air', '20C', '--humidity', '1%');
    expect(stdout).toContain('below -23 °C');
    expect(told(stdout)).toContain('on nothing here that is above freezing');
  });

  it('says that leaves are at the dew point where the instrument tells no more', async () => {
    const full = told((await vpd('--air', '20C', '--humidity', '100%')).stdout);
    expect(full).toContain('at the dew point, as closely as this tells');
    expect(full).toContain('rot comes of it');
    const cold = ['--air', '20C', '--humidity', '100%', '--leaf', '17C'];
    expect(told((await vpd(...cold)).stdout)).toContain('colder than the dew point: they are wet');
  });

  it('warns of wet leaves, and names no lid for them', async () => {
    const { stdout } = await vpd('--air', '24C', '--humidity', '90%', '--leaf-offset', '-2K');
    expect(told(stdout)).toContain('rot comes of it');
    expect(stdout).not.toContain('suits');
  });

  it.each([
    ['92%', 'lid closed'],
    ['86%', 'lid vents open'],
    ['78%', 'lid loose or propped'],
    ['65%', 'lid off by day or off'],
    ['40%', 'Too dry for young plants'],
  ])('at 24 C and %s says: %s', async (humidity, words) => {
    expect(told((await vpd('--air', '24C', '--humidity', humidity)).stdout)).toContain(words);
  });

  it('reads a wet bulb, and reckons with the height above the sea there', async () => {
    const high = await resultOf('--air', '25.6C', '--wet-bulb', '19.5C', '--altitude', '1200m');
    expect(high.vapourKpa).toBeCloseTo(1.91, 2);
    const low = await resultOf('--air', '25.6C', '--wet-bulb', '19.5C');
    expect(low.humidityShare).toBeLessThan(high.humidityShare);
    const still = await resultOf('--air', '25.6C', '--wet-bulb', '19.5C', '--bulb-in', 'still');
    expect(still.humidityShare).toBeLessThan(low.humidityShare);
  });

  it('takes a place below the sea, and tells heights in metres or feet', async () => {
    const at = (...words: string[]) =>
      vpd('--air', '24C', '--wet-bulb', '20C', '--altitude', ...words);
    const shore = await resultOf('--air', '24C', '--wet-bulb', '20C', '--altitude', '-430m');
    const sea = await resultOf('--air', '24C', '--wet-bulb', '20C', '--altitude', '0m');
    expect(shore.vapourKpa).toBeLessThanOrEqual(sea.vapourKpa);
    expect(shore.humidityShare).toBeLessThanOrEqual(sea.humidityShare);
    expect((await at('-1400ft')).code).toBe(0);
    expect(told((await at('-500m')).stderr)).toContain('-450 m to 5000 m');
    expect(told((await at('9000m', '--units', 'us')).stderr)).toContain('-1470 ft to 16400 ft');
    expect(told((await at('90kg')).stderr)).toContain('-450 m to 5000 m');
  });

  it.each([
    [['--air', '24C'], '--humidity is missing'],
    [['--humidity', '70%'], '--air is missing'],
    [['--air', '24C', '--humidity', '140%'], '1 % to 100 %'],
    [['--air', '24C', '--humidity', '0%'], 'out of range'],
    [['--air', '24C', '--humidity', '0.7'], 'no unit'],
    [['--air', '70C', '--humidity', '70%'], '0 °C to 50 °C'],
    [['--air', '24C', '--humidity', '70%', '--wet-bulb', '20C'], 'not both'],
    [['--air', '24C', '--humidity', '70%', '--altitude', '900m'], 'same at any height'],
    [['--air', '24C', '--wet-bulb', '20C', '--altitude', '9000m'], 'out of range'],
    [['--air', '24C', '--humidity', '70%', '--leaf', '22C', '--leaf-offset', '1K'], 'not both'],
    [['--air', '24C', '--humidity', '70%', '--leaf', '40C'], 'not more than 10 K'],
    [['--air', '24C', '--humidity', '70%', '--leaf-offset', '-20K'], 'out of range'],
  ])('refuses %j as wrong usage', async (words, why) => {
    const { code, stderr, stdout } = await vpd(...words);
    expect(code).toBe(2);
    expect(told(stderr)).toContain(why);
    expect(stdout).toBe('');
  });

  it('refuses bulbs that cannot be', async () => {
    const { code, stderr } = await vpd('--air', '24C', '--wet-bulb', '26C');
    expect(code).toBe(1);
    expect(told(stderr)).toContain('warmer than the dry one');
  });
});
