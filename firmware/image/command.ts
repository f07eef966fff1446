/** `npm run image`: writes `trayward.uf2` and says how large its parts are. */
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { buildImage } from './build';
import { imageParts } from './parts';
import { imagePaths } from './paths';
import { ensureToolchain } from './toolchain';
import { toUf2 } from './uf2';

async function main(): Promise<void> {
  const say = (line: string) => console.log(line);
  await ensureToolchain(say);
  const started = Date.now();
  const image = await buildImage();
  const file = join(imagePaths().root, 'trayward.uf2');
  await writeFile(file, toUf2(image.bytes));
  for (const part of await imageParts(image)) {
    say(`  ${part.name.padEnd(34)} ${String(part.bytes).padStart(8)} bytes`);
  }
  say(`${file} is ready (${((Date.now() - started) / 1000).toFixed(1)} s).`);
  say(
    'Hold the BOOTSEL button while plugging the board in, then copy it to the drive that appears.',
  );
}

main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
});
