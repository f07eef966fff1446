/** Bad input and a bad line: clear words, the right exit code, and nothing changed on the board. */
import { existsSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fromBase64, toBase64 } from '../../shared/bytes';
import { encodeLine } from '../../shared/link/framing';
import { DAY_MS, Grower } from '../simulation/grower';
import { json, type ProcessBench, Program, unwrapped } from './program';
import { type SpoiledLine, spoiledLine, spoilOnce, torn, unharmed } from './spoiled-line';

const PEPPER = 'shared/crops/pepper.yaml';
const LETTUCE = 'shared/crops/lettuce.yaml';

let program: Program;
beforeAll(async () => {
  program = await Program.built();
});
afterAll(async () => {
  await program.end();
});

describe('input that is wrong', () => {
  let bench: ProcessBench;
  /** How the board stood before the first wrong word; it must stay so to the last. */
  let before: object;
  beforeAll(async () => {
    bench = await program.startBench();
    await bench.wait(60);
    expect((await trayward('profile', 'load', PEPPER)).code).toBe(0);
    before = await standing();
  });
  const trayward = (...words: string[]) => program.run(['--port', bench.at.link, ...words]);

  /** All that a command could have changed on the board. */
  async function standing() {
    const { profile, stage, outputs, water } = json(await trayward('--json', 'status')).result;
    const scale = json(await trayward('--json', 'scale', 'check', '--history')).result;
    return { profile, stage, outputs, dryG: water.dryG, capacityG: water.capacityG, scale };
  }

  const pepper = readFileSync(PEPPER, 'utf8');
  const change = (from: string | RegExp, to: string): string => {
    const text = pepper.replace(from, to);
    expect(text).not.toBe(pepper);
    return text;
  };

  it.each([
    ['is for a newer version', 'trayward: 1', 'trayward: 2', 'Update the program'],
    ['has text for a version', 'trayward: 1', 'trayward: one', 'A plain number belongs here'],
    ['has text for a count', 'pieces: 98', 'pieces: ninety', 'A plain number belongs here'],
    ['has half a piece', 'pieces: 98', 'pieces: 97.5', 'whole number'],
    ['has no pieces', 'pieces: 98', 'pieces: 0', 'At least 1 here'],
    ['has a kind of stage that is none', 'kind: weigh', 'kind: weight', 'Did you mean "weigh"?'],
    ['has an endless title', /^title: .*$/m, `title: ${'long '.repeat(40)}`, 'letters here'],
    ['has a negative dose', 'dose: 120 ml', 'dose: -60 ml', '-60 ml'],
    ['has a bare ppm', 'feed: 0.9 mS/cm', 'feed: 400 ppm', 'ppm'],
    ['has a medium that is not there', 'medium: plugs', 'medium: plgus', 'There is no medium'],
  ])('in a profile that %s is refused, and nothing is changed', async (_, from, to, words) => {
    const file = join(program.home, 'wrong.yaml');
    writeFileSync(file, change(from, to));
    const { code, stderr } = await trayward('profile', 'load', file, '--yes');
    expect(code).toBe(2);
    expect(stderr).toMatch(/wrong\.yaml:\d+:\d+: error/);
    expect(unwrapped(stderr)).toContain(words);
    expect(unwrapped(stderr)).toContain('Nothing was sent.');
    expect(await standing()).toEqual(before);
  });

  it.each([
    ['scale calibrate --weight -5kg --cell 10kg', 2, 'less than 0'],
    ['scale calibrate --weight 5kg --cell -10kg', 2, 'less than 0'],
    ['scale calibrate --weight 5kg --cell 10kg --tray -4kg', 2, 'less than 0'],
    ['scale calibrate --weight heavy --cell 10kg', 2, 'heavy'],
    ['scale calibrate --weight 5 --cell 10kg', 2, 'no unit'],
    ['scale calibrate --weight 50kg --cell 10kg', 1, 'would overload the 10 kg cell'],
    ['scale calibrate --weight 5kg --cell 5kg', 1, 'too small'],
    ['scale calibrate --restore 7', 1, 'calibration'],
    ['scale calibrate --restore abc', 2, '--restore abc is no whole number'],
    ['scale calibrate --restore -1', 2, '--restore -1'],
    ['scale calibrate --restore 1.5', 2, '--restore 1.5'],
    ['scale calibrate --restore 0', 2, '--restore 0'],
    ['scale calibrate --restore=', 2, '--restore ""'],
    ['scale zero', 1, 'never calibrated'],
    ['probe calibrate --reads warm', 2, 'warm'],
    ['probe calibrate', 2, '--ice'],
    ['pump prime --for -10s --yes', 2, 'less than 0'],
    ['pump prime --for 2h --yes', 1, 'not possible by hand'],
    ['pump prime', 2, '--yes'],
    ['mark dry --weight -400g', 2, 'less than 0'],
    ['mark soaked', 1, 'scale'],
    ['stage next --yes', 1, 'sown'],
    ['alarm shelve too-dry --for -2h', 2, 'less than 0'],
    ['alarm shelve too-dry', 2, '--for'],
    ['alarm seen too-dry', 1, 'too-dry'],
    ['alarm mended too-dry', 1, 'too-dry'],
  ])('in `%s` ends with %i, and nothing is changed', async (line, code, words) => {
    const ended = await trayward(...line.split(' '));
    expect(ended.code).toBe(code);
    expect(ended.stderr).toContain('Not done: ');
    expect(unwrapped(ended.stderr)).toContain(words);
    expect(ended.stdout).toBe('');
    expect(await standing()).toEqual(before);
  });

  it.each([
    'bench run soon',
    'bench run -2 h',
    'bench run 0 s',
    'bench run 500 d',
    'bench speed 1e9',
    'bench speed 99999999',
    'bench speed fast',
    'bench hand put-weight -5kg',
    'bench hand dance',
    'bench fault everything',
    'journal show --last many',
    'journal show --since yesterday-ish',
    'journal show --since 5',
    'journal show --until 2026-13-01',
    'journal show --since 2026-02-31',
    'journal show --since 2026-03-02 --until 2026-03-01',
    'journal export --format pdf',
    'journal export --csv --jsonl',
    'hardware check --mat much',
  ])('in `%s` is wrong usage', async (line) => {
    const ended = await program.run(['--json', ...line.split(' ')]);
    expect(ended.code).toBe(2);
    expect(json(ended).error.kind).toBe('usage');
    expect(json(ended).error.next).not.toBe('');
  });
});

describe('a profile that is spoiled on its way', () => {
  let grower: Grower;
  let line: SpoiledLine;
  let before: object;
  beforeAll(async () => {
    grower = new Grower();
    line = await spoiledLine(grower.bench);
    expect((await trayward('profile', 'load', PEPPER)).code).toBe(0);
    before = await onBoard();
  });
  afterAll(() => line.close());

  const trayward = (...words: string[]) =>
    program.run(['--port', line.port, ...words], { env: { TRAYWARD_TIMEOUT_FACTOR: '0.1' } });

  /** The profile that the board runs, as it reads back. */
  async function onBoard(): Promise<object> {
    line.request = unharmed;
    line.reply = unharmed;
    line.plugged = true;
    return json(await trayward('--json', 'profile', 'read')).result;
  }

  /** A chunk with one bit of the image wrong, in a line that is sound. */
  function spoilImage(bytes: Uint8Array): Uint8Array {
    const [text = ''] = Buffer.from(bytes).toString('utf8').split('*');
    if (!text.includes('"profile.chunk"')) return bytes;
    const message = JSON.parse(text);
    const image = fromBase64(message.params.data) ?? new Uint8Array(0);
    image[image.length >> 1] = (image[image.length >> 1] ?? 0) ^ 1;
    return encodeLine(
      JSON.stringify({ ...message, params: { ...message.params, data: toBase64(image) } }),
    );
  }

  it('with a wrong CRC is refused by the board, which keeps the old one and writes it down', async () => {
    line.request = (bytes) => ({ arrives: spoilImage(bytes) });
    const { code, stderr } = await trayward('profile', 'load', LETTUCE);
    expect(code).toBe(1);
    expect(unwrapped(stderr)).toContain('damaged on its way');
    expect(await onBoard()).toEqual(before);
    expect(grower.journal().filter(({ kind }) => kind === 'profile')).toMatchObject([
      { action: 'loaded' },
      { action: 'refused' },
    ]);
  });

  it.each(['profile.begin', 'profile.chunk'])(
    'by a cut during %s leaves the old one in use',
    async (method) => {
      line.reply = (bytes, answered) => {
        if (answered !== method) return unharmed(bytes);
        line.plugged = false;
        return torn(bytes);
      };
      const { code, stderr } = await trayward('profile', 'load', LETTUCE);
      expect(code).toBe(1);
      expect(unwrapped(stderr)).toContain('was cut during the command');
      expect(unwrapped(stderr)).toContain('run the command again');
      expect(await onBoard()).toEqual(before);
    },
  );

  it('by a restart of the board leaves the old one in use', async () => {
    line.reply = spoilOnce('profile.chunk', (bytes) => {
      grower.bench.reset('watchdog');
      return torn(bytes);
    });
    const { code, stderr } = await trayward('profile', 'load', LETTUCE);
    expect(code).toBe(1);
    expect(unwrapped(stderr)).toContain('restarted during the command');
    expect(await onBoard()).toEqual(before);
  });

  it('by a cut that comes back at once is loaded all the same, once', async () => {
    line.reply = spoilOnce('profile.commit', torn);
    expect((await trayward('profile', 'load', LETTUCE)).code).toBe(0);
    expect(line.heard.filter((method) => method === 'profile.commit').length).toBeGreaterThan(1);
    expect(await onBoard()).toMatchObject({ profile: { crop: 'lettuce' } });
    const loads = grower
      .journal()
      .filter((one) => one.kind === 'profile' && one.action === 'loaded');
    expect(loads).toHaveLength(2);
  });
});

describe('a pull of the journal', () => {
  let grower: Grower;
  let line: SpoiledLine;
  beforeAll(async () => {
    grower = new Grower();
    grower.bench.run(2 * DAY_MS);
    line = await spoiledLine(grower.bench);
  });
  afterAll(() => line.close());

  const pull = (store: string) =>
    program.run(['--port', line.port, '--json', 'journal', 'pull', '--store', store], {
      env: { TRAYWARD_TIMEOUT_FACTOR: '0.1' },
    });

  async function sequences(store: string): Promise<number[]> {
    const { stdout } = await program.run([
      'journal',
      'export',
      '--format',
      'jsonl',
      '--store',
      store,
    ]);
    return stdout
      .trim()
      .split('\n')
      .map((one) => JSON.parse(one).sequence);
  }

  it('that is cut midway keeps what has come; the next one fetches the rest, no entry twice', async () => {
    const store = join(program.home, 'cut');
    let pages = 0;
    line.reply = (bytes, answered) => {
      if (answered !== 'journal.page' || ++pages < 3) return unharmed(bytes);
      line.plugged = false;
      return torn(bytes);
    };
    const cut = await pull(store);
    expect(cut.code).toBe(1);
    expect(json(cut).error.reason).toBe('lost');
    const kept = await sequences(store);
    expect(kept.length).toBeGreaterThan(0);
    line.reply = unharmed;
    line.plugged = true;
    const rest = json(await pull(store)).result;
    expect(rest.stored).toBe(rest.lastSequence - kept.length);
    expect(await sequences(store)).toEqual(
      Array.from({ length: rest.lastSequence }, (_, i) => i + 1),
    );
  });

  it.skipIf(!existsSync('/dev/full'))(
    'onto a full disk says so, and goes on when there is room',
    async () => {
      const store = join(program.home, 'full');
      const folder = join(store, grower.bench.boardId);
      mkdirSync(folder, { recursive: true });
      symlinkSync('/dev/full', join(folder, 'life-0001.entries'));
      const full = await pull(store);
      expect(full.code).toBe(1);
      expect(json(full).error).toMatchObject({ kind: 'failed', reason: 'disk-full' });
      expect(json(full).error.message).toContain('the rest is still on the controller');
      expect(existsSync(join(folder, 'lock'))).toBe(false);
      const roomy = await pull(join(program.home, 'roomy'));
      expect(json(roomy).result).toMatchObject({ missing: 0, damaged: 0 });
    },
  );
});
