/**
 * Every command of the program on the image that growers get, word for word as on any bench; at UART0, since
 * `uses.test.ts` is over USB.
 */
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll } from 'vitest';
import { toUf2 } from '../../shared/board/uf2';
import { Program } from '../cli/program';
import { uartDevice } from '../cli/uart-device';
import { wholeJob } from '../cli/whole-job';
import { BUILD_LIMIT_MS, cannotBuild, trayward } from './images';

const hasSocat = spawnSync('socat', ['-V']).status === 0;

let program: Program;
let uf2 = '';
beforeAll(async () => {
  if (cannotBuild) return;
  program = await Program.built();
  uf2 = join(program.home, 'trayward.uf2');
  writeFileSync(uf2, toUf2((await trayward()).bytes));
}, BUILD_LIMIT_MS);
afterAll(() => program?.end());

wholeJob(() => program, {
  over: "the image's UART0",
  words: () => ['--image', uf2],
  port: ({ at }) => at.uart ?? '',
  here: true,
  skipped: cannotBuild,
  limitMs: BUILD_LIMIT_MS,
});

uartDevice(() => program, {
  over: 'of the image',
  words: () => ['--image', uf2],
  here: true,
  skipped: cannotBuild || !hasSocat,
  limitMs: BUILD_LIMIT_MS,
});
