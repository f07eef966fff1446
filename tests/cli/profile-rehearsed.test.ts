/** A profile is rehearsed before it is loaded: by `check` once, by `load` where a person wants it. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { main } from '../../cli/main';
import { cropFileText } from '../../shared/profile/host/crops';
import { Grower } from '../simulation/grower';
import { json, unwrapped } from './program';
import { runIn, type Said, trayward, worldAt } from './worlds';

const LETTUCE = 'shared/crops/lettuce.yaml';
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-rehearsed-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

describe('profile check', () => {
  it('warns by one short rehearsal of a room that is too warm for the crop, and says where more is told', async () => {
    const words = ['profile', 'check', LETTUCE, '--room', '24..30 C'];
    const { code, stdout } = await trayward(...words);
    expect(code).toBe(0);
    const said = unwrapped(stdout);
    expect(said).toContain('Rehearsed once, for 12 days in a room of 24.0 °C to 30.0 °C');
    expect(said).toContain('Warning: germinate: the room is too warm for it day and night, up to');
    expect(said).toContain('Warning: Alarm "Root zone too warm": on day 0.');
    expect(said).toContain(`\`trayward rehearse ${LETTUCE} --room "24..30 C"\` tells more`);
    const { rehearsal } = json(await trayward('--json', ...words)).result;
    expect(rehearsal).toMatchObject({ crop: 'lettuce', days: 12, room: { nightC: 24, dayC: 30 } });
    expect(rehearsal.warnings[0]).toMatchObject({ about: 'band' });
  });

  it('says that nothing goes wrong where nothing does', async () => {
    const said = await trayward('profile', 'check', LETTUCE, '--room', '14..18 C');
    expect(unwrapped(said.stdout)).toContain('12 days in a room of 14.0 °C to 18.0 °C: nothing');
    expect(said.stdout).not.toContain('Warning');
  });

  it('rehearses nothing where that is not wanted, or the crop is not known to the bench', async () => {
    const alone = ['profile', 'check', LETTUCE, '--no-rehearsal'];
    expect((await trayward(...alone)).stdout).not.toContain('Rehearsed');
    expect(json(await trayward('--json', ...alone)).result.rehearsal).toBeNull();
    const file = join(folder, 'mizuna.yaml');
    writeFileSync(file, cropFileText('lettuce', '').replace('crop: lettuce', 'crop: mizuna'));
    const unknown = await trayward('profile', 'check', file);
    expect(unknown.code).toBe(0);
    expect(unwrapped(unknown.stdout)).toContain(
      'It was not rehearsed: nothing is known here of how mizuna comes up',
    );
  });

  it('is no worse a file for a tray that the scale of the bench does not bear, and says so', async () => {
    const file = join(folder, 'heavy.yaml');
    writeFileSync(file, cropFileText('pepper', '').replace('pieces: 98', 'pieces: 400'));
    const { code, stdout } = await trayward('profile', 'check', file, '--units', 'us');
    expect(code).toBe(0);
    expect(unwrapped(stdout)).toContain(
      'It was not rehearsed: soaked, it is more than the scale of the simulated tray bears, 22.05 lb.',
    );
  });

  it('tells the name of a crop from that of a file', async () => {
    const from = process.cwd();
    process.chdir(mkdtempSync(join(folder, 'here-')));
    try {
      const { code, stderr } = await trayward('profile', 'check', 'pepper');
      expect(code).toBe(2);
      expect(unwrapped(stderr)).toContain('`trayward profile new pepper` writes pepper.yaml');
      writeFileSync('pepper.yaml', cropFileText('pepper', ''));
      const there = await trayward('profile', 'check', 'pepper');
      expect(there.code).toBe(2);
      expect(unwrapped(there.stderr)).toContain('Give the file that lies here: pepper.yaml.');
    } finally {
      process.chdir(from);
    }
  });
});

/** Loads at a terminal, where a person answers what is asked. */
async function loadedBy(grower: Grower, answers: Readonly<Record<string, string>>): Promise<Said> {
  const stdin = Object.assign(new PassThrough(), { isTTY: true });
  const waiting = new Map(Object.entries(answers));
  let stdout = '';
  let stderr = '';
  const terminal = {
    isTTY: true,
    write(text: string) {
      stderr += text;
      for (const [asked, answer] of waiting) {
        if (!unwrapped(stderr).includes(asked)) continue;
        waiting.delete(asked);
        setImmediate(() => stdin.write(`${answer}\n`));
      }
    },
  };
  const world = worldAt(grower, { stdin, stderr: terminal });
  const code = await main(['profile', 'load', LETTUCE], {
    ...world,
    stdout: { write: (text) => (stdout += text) },
  });
  return { code, stdout, stderr };
}

describe('profile load', () => {
  it('offers the rehearsal before it loads, and loads nothing where its warnings are enough', async () => {
    const grower = new Grower();
    const { code, stderr } = await loadedBy(grower, {
      [`Rehearse ${LETTUCE} first`]: 'y',
      'Load it?': 'n',
    });
    expect(code).toBe(1);
    expect(unwrapped(stderr)).toMatch(
      /Rehearsed once, for 12 days .* The profile was not loaded\./,
    );
    expect(grower.call('profile.slots', {}, false).slots.some(({ active }) => active)).toBe(false);
  });

  it('loads at once for who does not want it', async () => {
    const grower = new Grower();
    const { code, stdout, stderr } = await loadedBy(grower, {
      [`Rehearse ${LETTUCE} first`]: '',
    });
    expect(code).toBe(0);
    expect(stdout).toContain('is loaded and verified');
    expect(stderr).not.toContain('Rehearsed once');
  });

  it('asks no script', async () => {
    const { code, stderr } = await runIn(worldAt(new Grower(), {}), ['profile', 'load', LETTUCE]);
    expect(code).toBe(0);
    expect(stderr).not.toContain('Rehearse');
  });
});
