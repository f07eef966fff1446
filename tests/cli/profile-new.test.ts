/** `trayward profile new`, and that what the program advises to type exists. */
import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cropNamed } from '../../shared/crops/library/library';
import { checkProfileText } from '../../shared/profile/host/check';
import { CROP_FILE_NAMES } from '../../shared/profile/host/crops';
import { commandsIn, helpOf, trayward } from './worlds';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'trayward-new-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

const at = (name: string): string => join(folder, name);

describe('a new profile', () => {
  it.each(CROP_FILE_NAMES)('of %s is good as it is, and keeps its comments', async (crop) => {
    const { code, stdout } = await trayward('--json', 'profile', 'new', crop, at(`${crop}.yaml`));
    expect(code).toBe(0);
    expect(JSON.parse(stdout).result).toMatchObject({ crop, file: at(`${crop}.yaml`) });
    const text = readFileSync(at(`${crop}.yaml`), 'utf8');
    expect(checkProfileText(text, crop, 0)).toMatchObject({ problems: [], profile: { crop } });
    expect(text.match(/^ *# /gm)?.length).toBeGreaterThan(5);
  });

  it('has its schema where its first line says, for editors', async () => {
    await trayward('profile', 'new', 'pepper', at('edited.yaml'));
    const [first = ''] = readFileSync(at('edited.yaml'), 'utf8').split('\n');
    const [, schema = ''] = /^# yaml-language-server: \$schema=(.+)$/.exec(first) ?? [];
    const { result } = JSON.parse((await trayward('--json', 'profile', 'schema')).stdout);
    expect(JSON.parse(readFileSync(at(schema), 'utf8'))).toEqual(result.schema);
  });

  it('can be made of every crop that comes with the program', async () => {
    const files = readdirSync('shared/crops').flatMap((file) =>
      file.endsWith('.yaml') ? [file.replace('.yaml', '')] : [],
    );
    const { code, stdout } = await trayward('--json', 'profile', 'new');
    expect(code).toBe(0);
    expect(JSON.parse(stdout).result.crops).toEqual(files);
    const { stderr, code: wrong } = await trayward('profile', 'new', 'tomatoe');
    expect(wrong).toBe(2);
    expect(stderr).toContain('Did you mean "tomato"?');
  });

  it('never takes the place of a file, unless it is forced to', async () => {
    writeFileSync(at('mine.yaml'), 'mine');
    const { code, stdout } = await trayward('--json', 'profile', 'new', 'pepper', at('mine.yaml'));
    expect(code).toBe(1);
    expect(JSON.parse(stdout).error).toMatchObject({ kind: 'refused', reason: 'file-exists' });
    expect(readFileSync(at('mine.yaml'), 'utf8')).toBe('mine');
    const forced = await trayward('profile', 'new', 'pepper', at('mine.yaml'), '--force');
    expect(forced.code).toBe(0);
    expect(readFileSync(at('mine.yaml'), 'utf8')).toContain('crop: pepper');
  });

  it('leaves a schema alone that is not ours', async () => {
    const elsewhere = mkdtempSync(join(tmpdir(), 'trayward-new-'));
    const schema = join(elsewhere, 'trayward-profile.schema.json');
    writeFileSync(schema, '{"title":"something else"}');
    await trayward('profile', 'new', 'pepper', join(elsewhere, 'pepper.yaml'));
    expect(readFileSync(schema, 'utf8')).toBe('{"title":"something else"}');
    rmSync(elsewhere, { recursive: true });
  });

  it.skipIf(!existsSync('/dev/full'))(
    'is told apart from a full disk and a missing folder',
    async () => {
      symlinkSync('/dev/full', at('full.yaml'));
      const full = await trayward('profile', 'new', 'pepper', at('full.yaml'), '--force');
      expect(full).toMatchObject({ code: 1, stderr: expect.stringContaining('The disk is full.') });
      const nowhere = await trayward('profile', 'new', 'pepper', at('no/pepper.yaml'));
      expect(nowhere.code).toBe(2);
      expect(nowhere.stderr).toContain(at('no/pepper.yaml'));
    },
  );
});

describe('a command that the program advises', () => {
  it('is at first one that comes before sowing: a plan, what is due, and a rehearsal', async () => {
    const help = await helpOf();
    const nouns = [...help.matchAll(/^ {2}trayward ([a-z]+)/gm)].map(([, noun]) => noun);
    expect(nouns.slice(0, 4)).toEqual(['plan', 'agenda', 'profile', 'rehearse']);
    expect(nouns.indexOf('mark')).toBeGreaterThan(nouns.indexOf('scale'));
    for (const noun of nouns) expect(commandsIn(help)).toContain(noun);
  });

  it('exists', async () => {
    const files = ['cli', 'shared', 'firmware']
      .flatMap((top) =>
        readdirSync(top, { recursive: true }).map((name) => join(top, String(name))),
      )
      .concat('README.md', 'DEVELOPERS.md');
    const nouns = new Map<string, readonly string[]>();
    for (const noun of commandsIn(await helpOf())) nouns.set(noun, commandsIn(await helpOf(noun)));
    const advised = files
      .filter((file) => /\.(ts|md|c|h)$/.test(file))
      .flatMap((file) =>
        [
          ...readFileSync(file, 'utf8').matchAll(/(?:`|npx |: )trayward ([a-z]+)(?: ([a-z]+))?/g),
        ].map(([, noun = '', verb]) => ({ file, noun, verb })),
      );
    expect(advised.length).toBeGreaterThan(40);
    for (const { file, noun, verb } of advised) {
      const verbs = nouns.get(noun);
      expect(verbs, `${file}: trayward ${noun}`).toBeDefined();
      if (verbs === undefined || verbs.length === 0 || verb === undefined) continue;
      // `plan pepper` is `plan make pepper`: what follows may be a crop.
      if (noun === 'plan' && cropNamed(verb).ok) continue;
      expect(verbs, `${file}: trayward ${noun} ${verb}`).toContain(verb);
    }
  });
});
