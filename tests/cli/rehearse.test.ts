/** `trayward rehearse`: before anything is sown. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cropFileText } from '../../shared/profile/host/crops';
import { json } from './program';
import { trayward } from './worlds';

const LETTUCE = 'shared/crops/lettuce.yaml';
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-rehearse-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** Lettuce by another name. */
function other(crop: string): string {
  const file = join(folder, `${crop}.yaml`);
  writeFileSync(file, cropFileText('lettuce', '').replace('crop: lettuce', `crop: ${crop}`));
  return file;
}

describe('rehearse', () => {
  it('tells in one screen what will be, in the room that was named', async () => {
    const { code, stdout } = await trayward(
      ...['rehearse', LETTUCE, '--days', '9d', '--seeds', '1', '--room', '15..17 C'],
    );
    expect(code).toBe(0);
    expect(stdout.replace(/\s+/g, ' ')).toContain('a room of 15.0 °C to 17.0 °C');
    expect(stdout).toMatch(/Half is up +day [345]\n/);
    expect(stdout).toMatch(/First feed +day [6789]/);
    expect(stdout).toMatch(/^germinate +0 +closed +\d+ %/m);
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('comes to the same end each time, by the seeds and not by chance', async () => {
    const words = ['--json', 'rehearse', LETTUCE, '--days', '2d', '--seeds', '2'];
    const first = json(await trayward(...words)).result;
    expect(json(await trayward(...words)).result).toEqual(first);
    expect(first.days.most).toBeCloseTo(2, 1);
  });

  it('takes the room in either unit, said once or twice', async () => {
    const room = async (typed: string) =>
      json(
        await trayward(
          '--json',
          'rehearse',
          LETTUCE,
          '--days',
          '1d',
          '--seeds',
          '1',
          '--room',
          typed,
        ),
      ).result.room;
    expect(await room('61..64.4 F')).toEqual({
      nightC: expect.closeTo(16.1, 1),
      dayC: expect.closeTo(18, 6),
    });
    expect(await room('18 C')).toEqual({ nightC: 18, dayC: 18 });
  });

  it.each([
    [['--room', '22..16 C'], 'goes from warm to cold'],
    [['--room', '60 C'], 'is out of range'],
    [['--room', 'warm'], 'warm'],
    [['--days', '90 d'], 'outside 1 to 75 days'],
    [['--seeds', '0'], 'no whole number from 1 to 1000'],
  ])('refuses %j, and says what may be', async (words, why) => {
    const { code, stderr } = await trayward('rehearse', LETTUCE, ...words);
    expect(code).toBe(2);
    expect(stderr).toContain(why);
  });

  it('says of a crop of which nothing is known that another may stand for it', async () => {
    const file = other('mizuna');
    const refused = await trayward('rehearse', file, '--days', '1d', '--seeds', '1');
    expect(refused.code).toBe(1);
    expect(refused.stderr).toContain('Nothing is known here of how mizuna comes up');
    expect(refused.stderr).toContain('--crop');
    const { code } = await trayward(
      'rehearse',
      file,
      '--crop',
      'cabbage',
      '--days',
      '1d',
      '--seeds',
      '1',
    );
    expect(code).toBe(0);
  });
});
