/** `trayward rehearse`: before anything is sown. */
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { main } from '../../cli/main';
import { cropFileText } from '../../shared/profile/host/crops';
import { json } from './program';
import { runIn, trayward, worldOf } from './worlds';

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
    const words = ['--json', 'rehearse', LETTUCE, '--days', '1d', '--seeds', '2'];
    const first = json(await trayward(...words)).result;
    expect(json(await trayward(...words)).result).toEqual(first);
    expect(first.days.most).toBeCloseTo(1, 1);
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

  it('writes a page that any browser opens, tells where it is, and gives programs the same', async () => {
    const out = join(folder, 'lettuce.html');
    const words = ['rehearse', LETTUCE, '--days', '3d', '--seeds', '2', '--out', out];
    const { code, stdout } = await trayward(...words);
    expect(code).toBe(0);
    expect(stdout.replace(/\s+/g, ' ')).toContain(
      `${out} is written: open it with any browser; it needs no network.`,
    );
    const page = readFileSync(out, 'utf8');
    expect(page).toMatch(/^<!doctype html>/);
    expect(page).toContain('First feed');
    expect(page).toContain('class="fan outer root"');
    const { result } = json(await trayward('--json', ...words, '--force'));
    expect([result.out, result.bytes]).toEqual([out, Buffer.byteLength(page)]);
    // The same words give the same page.
    expect(readFileSync(out, 'utf8')).toBe(page);
  });

  it('writes none unasked, and says how one is had', async () => {
    const words = ['rehearse', LETTUCE, '--days', '1d', '--seeds', '1'];
    expect((await trayward(...words)).stdout.replace(/\s+/g, ' ')).toContain(
      '--out rehearsal.html',
    );
    const { result } = json(await trayward('--json', ...words));
    expect([result.out, result.bytes]).toEqual([null, null]);
  });

  it('refuses a tray that the scale of the bench does not bear, and says what may be done', async () => {
    const file = join(folder, 'heavy.yaml');
    writeFileSync(file, cropFileText('pepper', '').replace('pieces: 98', 'pieces: 400'));
    const said = await trayward('--json', 'rehearse', file, '--days', '1d', '--seeds', '2');
    expect(said.code).toBe(1);
    expect(json(said).error).toMatchObject({ kind: 'refused', reason: 'not-rehearsed' });
    expect(json(said).error.message).toContain('more than the scale of the simulated tray bears');
    expect(json(said).error.next).toContain('the pieces that its scale bears');
  });

  // A hundred rehearsals take minutes: whoever is refused after them was told too late.
  it.each([
    [['--out', 'there.html'], 1, 'is there already, and stays as it is'],
    [['--out', 'gone/new.html'], 1, 'is no folder that you may write to'],
    [['--out', 'fan.svg'], 2, 'names a picture, and a page is written there'],
    [['--force'], 2, '--force writes over the file of --out'],
  ])('refuses %j before anything is rehearsed, with %i', async (words, ends, why) => {
    writeFileSync(join(folder, 'there.html'), 'mine');
    const typed = words.map((word) => (word.startsWith('--') ? word : join(folder, word)));
    const short = ['rehearse', LETTUCE, '--days', '1d', '--seeds', '1'];
    const { code, stderr } = await trayward(...short, ...typed);
    expect(code).toBe(ends);
    expect(stderr.replace(/\s+/g, ' ')).toContain(why);
    expect(stderr).not.toContain('Rehearsing');
    expect(readFileSync(join(folder, 'there.html'), 'utf8')).toBe('mine');
  });

  it.each([
    [['lettuce'], 2, '`trayward profile new lettuce` writes lettuce.yaml: give that.'],
    [[LETTUCE, '--grower', 'lazy'], 2, 'Give daily, third, forgetful or late.'],
    [[LETTUCE, '--crop', 'letuce'], 2, 'Did you mean "lettuce"?'],
    [[LETTUCE, '--like', 'mine'], 2, 'A journal is kept here of 0123456789abcdef.'],
    [[LETTUCE, '--like', 'e66100000000000b'], 1, 'There is that of 0123456789abcdef.'],
  ])('refuses %j with %i and what there is instead', async (words, ends, what) => {
    mkdirSync(join(folder, 'store', '0123456789abcdef'), { recursive: true });
    writeFileSync(join(folder, 'store', '0123456789abcdef', 'life-0001.entries'), '');
    const alone = worldOf({ findControllers: async () => [] });
    const said = await runIn(alone, ['rehearse', ...words, '--store', join(folder, 'store')]);
    expect(said.code).toBe(ends);
    expect(said.stderr.replace(/\s+/g, ' ')).toContain(what);
    expect(said.stderr).not.toContain('--help');
  });

  it('stopped by Ctrl-C says that nothing is written, and nothing of pumps', async () => {
    const stop = new AbortController();
    let stderr = '';
    const world = worldOf({
      interrupt: stop.signal,
      stderr: {
        write(text) {
          stderr += text;
          if (text.includes('Rehearsing')) stop.abort();
        },
      },
    });
    const out = join(folder, 'never.html');
    const code = await main(
      ['rehearse', LETTUCE, '--days', '1d', '--seeds', '1', '--out', out],
      world,
    );
    expect(code).toBe(130);
    expect(stderr.replace(/\s+/g, ' ')).toContain('No tray was touched, and nothing is written.');
    expect(stderr).not.toContain('pump');
    expect(existsSync(out)).toBe(false);
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
