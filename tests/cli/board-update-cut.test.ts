/** An update of a board that is cut: by the line, by the mains, by Ctrl-C. */
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { connect } from '../../cli/link/connect';
import { toUf2, UF2_BLOCK_BYTES, uf2Parts } from '../../shared/board/uf2';
import { json, type ProcessBench, Program, unwrapped } from './program';
import { IMAGE, UpdateFolder } from './update-folder';

const folder = new UpdateFolder();
/** A board that is away for its image does not answer, which is waited out in full. */
const HURRIED = { TRAYWARD_TIMEOUT_FACTOR: '0.1' };

describe('an update that is cut', () => {
  let program: Program;
  let bench: ProcessBench;
  let place = '';

  beforeAll(async () => {
    program = await Program.built();
  });
  afterAll(() => program.end());
  beforeEach(async () => {
    place = folder.at('bench-drive');
    bench = await program.startBench('--drive', place, '--seed', '7');
    await bench.wait(30);
  });
  afterEach(async () => {
    await bench.stop();
  });

  const words = () => [
    ...[
      '--json',
      '--port',
      bench.at.link,
      'board',
      'update',
      '--again',
      '--yes',
      '--image',
      folder.image,
    ],
  ];
  const again = async () => json(await program.runHere(words(), { env: HURRIED })).result;

  it('is not begun where its drive would be looked for in another place', async () => {
    const said = await program.runHere([...words(), '--to', folder.at('elsewhere')]);
    expect(json(said).error).toMatchObject({ kind: 'refused', reason: 'drive-elsewhere' });
    expect(json(await program.runHere(['--json', '--port', bench.at.link, 'status'])).ok).toBe(
      true,
    );
  });

  it('not at all ends with the same board, without a word of where its drive is', async () => {
    expect(await again()).toMatchObject({ drive: place, boardId: bench.at.boardId, updated: true });
  });

  it.each(['The board leaves', 'Copying to', 'Waiting for the board'])(
    'by the end of the program at "%s" is ended by the next one',
    async (said) => {
      const child = program.spawn(words().filter((word) => word !== '--json'));
      const ended = new Promise((resolve) => child.once('close', resolve));
      child.stderr?.on('data', (data: Buffer) => {
        if (data.toString().includes(said)) child.kill('SIGKILL');
      });
      await ended;
      await bench.wait(5);
      expect(await again()).toMatchObject({ boardId: bench.at.boardId, updated: true });
    },
  );

  it.each([
    ['in the middle of the copy', false],
    ['in the middle of the copy, by the supply', true],
  ])('%s is ended by the next one', async (_, isSupply) => {
    const client = await connect(bench.at.link);
    await client.call('controller.bootDrive', {});
    await client.close();
    await bench.wait(3);
    const begun = Buffer.concat(uf2Parts(toUf2(IMAGE))).subarray(0, 12 * UF2_BLOCK_BYTES);
    await appeared(join(place, 'INFO_UF2.TXT'));
    writeFileSync(join(place, 'trayward.uf2'), begun);
    await new Promise((resolve) => setTimeout(resolve, 200));
    if (isSupply) {
      await bench.fault('mains-cut', 5);
      await bench.wait(10);
      await appeared(join(place, 'INFO_UF2.TXT'));
    }
    expect(await again()).toMatchObject({ from: null, updated: true });
  });

  it('by Ctrl-C leaves no doubt that nothing is held', async () => {
    const child = program.spawn(words().filter((word) => word !== '--json'));
    let stderr = '';
    child.stderr?.on('data', (data: Buffer) => {
      stderr += data.toString();
      if (data.toString().includes('The board leaves')) child.kill('SIGINT');
    });
    const code = await new Promise((resolve) => child.once('close', resolve));
    expect(code).toBe(130);
    expect(unwrapped(stderr)).toContain('The board holds nothing now');
  });

  async function appeared(path: string): Promise<void> {
    for (let tries = 0; tries < 250 && !existsSync(path); tries++)
      await new Promise((resolve) => setTimeout(resolve, 20));
  }
});
