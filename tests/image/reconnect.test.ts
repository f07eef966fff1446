/** Commands one right after another, each of which opens the port anew; the first at each door is a program of its own. */
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { toUf2 } from '../../shared/board/uf2';
import { type Ended, Program } from '../cli/program';
import { BUILD_LIMIT_MS, cannotBuild, trayward } from './images';

const COMMANDS = 8;
const hasSocat = spawnSync('socat', ['-V']).status === 0;

describe.skipIf(cannotBuild)('the image answers command after command', () => {
  let program: Program;
  let uf2: string;

  beforeAll(async () => {
    program = await Program.built();
    uf2 = join(program.home, 'trayward.uf2');
    writeFileSync(uf2, toUf2((await trayward()).bytes));
  }, BUILD_LIMIT_MS);
  afterAll(() => program.end());

  const commands = async (port: string): Promise<Ended[]> => {
    const status = ['--port', port, 'status'];
    const ended = [await program.run(status)];
    while (ended.length < COMMANDS) ended.push(await program.runHere(status));
    return ended.filter(({ code }) => code !== 0);
  };

  it('over TCP, also right after a program was killed in the middle of its work', async () => {
    const bench = await program.startBenchHere('--image', uf2, '--speed', '1');
    expect(await commands(bench.at.link)).toEqual([]);
    for (let i = 0; i < 3; i++) {
      const killed = program.spawn(['--port', bench.at.link, 'watch']);
      await new Promise((resolve) => killed.stdout?.once('data', resolve));
      killed.kill('SIGKILL');
      expect((await program.run(['--port', bench.at.link, 'status'])).stderr).toBe('');
    }
    expect(await bench.stop()).toBe(0);
  });

  it('over TCP at the second door, while time stands still', async () => {
    const bench = await program.startBenchHere('--image', uf2);
    expect(await commands(bench.at.uart ?? '')).toEqual([]);
    expect(await bench.stop()).toBe(0);
  });

  it.skipIf(!hasSocat)(
    'over a serial device, which then has the first door to itself',
    async () => {
      const device = join(program.home, 'tty');
      const bench = await program.startBenchHere('--image', uf2, '--speed', '1', '--pty', device);
      expect(bench.at).toMatchObject({ link: device, pty: device });
      expect(await commands(device)).toEqual([]);
      expect(await commands(bench.at.uart ?? '')).toEqual([]);
      expect(await bench.stop()).toBe(0);
    },
  );
});
