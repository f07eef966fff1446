/** A bad line: clear words, the right exit code, and nothing lost, neither on the board nor on the laptop. */
import { existsSync, mkdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fromBase64, toBase64 } from '../../shared/bytes';
import { encodeLine } from '../../shared/link/framing';
import { DAY_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { json, Program, unwrapped } from './program';
import { type SpoiledLine, spoiledLine, spoilOnce, torn, unharmed } from './spoiled-line';

const PEPPER = 'shared/crops/pepper.yaml';
const LETTUCE = 'shared/crops/lettuce.yaml';

/** For what is waited out in full before the program gives up. */
const HURRIED = { TRAYWARD_TIMEOUT_FACTOR: '0.1' };

let program: Program;
beforeAll(async () => {
  program = await Program.built();
});
afterAll(async () => {
  await program.end();
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
    program.runHere(['--port', line.port, ...words], { env: HURRIED });

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

  const wordsOf = (store: string) => [
    ...['--port', line.port, '--json'],
    ...['journal', 'pull', '--store', store],
  ];
  const pull = (store: string) => program.runHere(wordsOf(store), { env: HURRIED });

  async function sequences(store: string): Promise<number[]> {
    const words = ['journal', 'export', '--format', 'jsonl', '--store', store];
    const { stdout } = await program.runHere(words);
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
    // In a process of its own: what it keeps is on the disk when it has ended.
    const cut = await program.run(wordsOf(store), { env: HURRIED });
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
