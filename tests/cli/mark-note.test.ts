/** What a grower writes into the journal: notes, mists, the lid and the light. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Grower } from '../simulation/grower';
import { runIn, worldAt } from './worlds';

const told = (text: string): string => text.replace(/\s+/g, ' ');

describe('mark note', () => {
  let store = '';
  let grower: Grower;
  beforeAll(() => {
    store = mkdtempSync(join(tmpdir(), 'trayward notes '));
    grower = new Grower();
    grower.commission();
  });
  afterAll(() => rmSync(store, { recursive: true }));

  async function run(...words: string[]) {
    const env = { TRAYWARD_STORE: store };
    const { code, stdout, stderr } = await runIn(worldAt(grower, { env }), words);
    return { code, stdout, said: told(stdout + stderr) };
  }

  it('keeps the text on the board, and it is read whole from a pulled journal', async () => {
    const before = grower.status();
    const text = 'leaned to the window, lamp 10 cm lower, für’s Erste [left]';
    expect((await run('mark', 'note', text)).said).toContain(`In the journal: ${text}`);
    expect((await run('mark', 'misted')).code).toBe(0);
    expect((await run('mark', 'misted', 'twice')).code).toBe(0);
    expect((await run('mark', 'lid', 'vents', 'open')).code).toBe(0);
    expect((await run('mark', 'light', '16 h')).code).toBe(0);
    // A note is no deed: stage and water stand as they stood.
    expect(grower.status().stage?.index).toBe(before.stage?.index);
    expect(grower.status().water.heldBy).toEqual(before.water.heldBy);
    grower.bench.cutPower();
    grower.bench.restorePower();
    await run('journal', 'pull');
    const shown = await run('journal', 'show', '--kind', 'note');
    const lines = shown.stdout.trim().split('\n');
    expect(lines.map((line) => line.replace(/^.*?Note: "(.*)"\.$/, '$1'))).toEqual([
      text,
      'misted',
      'misted: twice',
      'lid vents open',
      'light: 16 h',
    ]);
    expect(lines[0]).toMatch(/^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d /);
    expect((await run('journal', 'export', '--kind', 'note')).stdout).toContain(text);
  });

  it('shows all that the grower told under marks, and nothing else', async () => {
    await run('mark', 'misted');
    await run('mark', 'refilled', '--volume', '3l', '--ec', '0.8mS/cm');
    await run('mark', 'lid', 'propped');
    await run('seed', 'count', '41', 'of', '98');
    await run('journal', 'pull');
    const { stdout } = await run('journal', 'show', '--kind', 'mark');
    const said = stdout
      .trim()
      .split('\n')
      .map((line) => line.slice(21));
    expect(said.slice(-5)).toEqual([
      'Note: "misted".',
      'Reservoir filled to 3.00 l with feed of 0.80 mS/cm.',
      expect.stringMatching(/^Marked refilled/),
      'Note: "lid propped".',
      'Counted: 41 of 98 stand.',
    ]);
    expect(stdout).not.toContain('Controller started');
    // A table of one kind has that kind alone.
    const { stdout: csv } = await run('journal', 'export', '--kind', 'mark');
    expect(csv).not.toContain('misted');
  });

  it.each([
    [['note'], 'says nothing'],
    [['light'], 'says nothing'],
    [['note', 'x'.repeat(97)], '96 letters at most'],
    [['note', 'two\nlines'], 'on one line'],
    [['lid', 'gone'], 'A lid cannot be "gone"'],
    [['noted'], 'There is no mark "noted"'],
    [['soaked', 'well'], 'takes no more words'],
    [['misted', '--volume', '4l'], 'takes no options'],
  ])('refuses %j as wrong usage', async (words, why) => {
    const answer = await run('mark', ...words);
    expect(answer.code).toBe(2);
    expect(answer.said).toContain(why);
  });
});
