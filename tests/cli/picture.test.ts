/**
 * Picture and screen in the README are what the program draws and says today: `npx vitest run tests/cli/picture.test.ts -u`
 * makes them anew, the picture wide, and narrow for telephones. The screen is copied into the README by hand.
 */
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundled } from '../bundle';

const { SHOWN, seasonPictures, seasonReport } = await bundled<typeof import('./season-picture')>(
  'tests/cli/season-picture.ts',
);

const { COLUMNS, explainedNight } = await bundled<typeof import('./explained-night')>(
  'tests/cli/explained-night.ts',
);

/** A page that is read on the way has no more for its picture, bytes. */
const MOST_BYTES = 100_000;
/** A season takes seconds; a machine that others keep busy, a few times as long. */
const SLOW_MACHINE_MS = 120_000;

describe('the picture of the README', () => {
  let report: ReturnType<typeof seasonReport>;
  beforeAll(() => {
    report = seasonReport();
  }, SLOW_MACHINE_MS);

  it('is of a plain season, from seed to blocks, in a room where the mat has to work', () => {
    const { incidents, alarms, course, plot } = report;
    expect({ incidents, alarms }).toEqual({ incidents: [], alarms: [] });
    const { emergedDay, firstFeedDay, transplantedDay, days, matH } = course ?? {};
    const came = [0, emergedDay, firstFeedDay, transplantedDay, days].map(Number);
    expect(came).toEqual([...came].sort((a, b) => a - b));
    expect(Number(matH) / (24 * Number(days))).toBeGreaterThan(0.2);
    expect(plot.stages.length).toBeGreaterThanOrEqual(6);
  });

  it.each(Object.keys(SHOWN))('%s is as it is drawn today, and in the README', async (file) => {
    const picture = seasonPictures(report)[file] ?? '';
    await expect(picture).toMatchFileSnapshot(`../../${file}`);
    expect(Buffer.byteLength(picture)).toBeLessThan(MOST_BYTES);
    expect(readFileSync('README.md', 'utf8')).toContain(`="${file}"`);
  });

  it('is told in words to whoever does not see it', () => {
    const [, alt = ''] = /<img [^>]*alt="([^"]+)"/.exec(readFileSync('README.md', 'utf8')) ?? [];
    for (const word of ['root zone', 'mat', 'weight', 'dry-back', 'doses'])
      expect(alt).toContain(word);
  });
});

describe('the screen of the README', () => {
  const zone = process.env.TZ;
  beforeAll(() => {
    process.env.TZ = 'UTC';
  });
  afterAll(() => {
    if (zone === undefined) delete process.env.TZ;
    else process.env.TZ = zone;
  });

  it('is a night explained as it is today: what happened, why, what it meant, what to do', async () => {
    const screen = `${explainedNight()}\n`;
    for (const line of screen.split('\n')) expect(line.length).toBeLessThanOrEqual(COLUMNS);
    for (const row of ['What', 'Why', 'Controller', 'Crop', 'Now'])
      expect(screen).toMatch(new RegExp(`^   ${row} `, 'm'));
    await expect(screen).toMatchFileSnapshot('../../cli/explain/night.txt');
    expect(readFileSync('README.md', 'utf8')).toContain(screen);
  });
});
