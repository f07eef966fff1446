/** `npm run image`: writes `trayward.uf2` and says how large its parts are. */
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { version } from '../../package.json';
import { toUf2 } from '../../shared/board/uf2';
import { sha256 } from '../../shared/host/sha256';
import { buildImage } from './build';
import { imageParts } from './parts';
import { imagePaths } from './paths';
import { ensureToolchain } from './toolchain';

async function main(): Promise<void> {
  const say = (line: string) => console.log(line);
  await ensureToolchain(say);
  const started = Date.now();
  const image = await buildImage();
  const file = join(imagePaths().root, 'trayward.uf2');
  await writeFile(file, toUf2(image.bytes, version, sha256));
  for (const part of await imageParts(image)) {
    say(`  ${part.name.padEnd(34)} ${String(part.bytes).padStart(8)} bytes`);
  }
  say(`${file} is ready (${((Date.now() - started) / 1000).toFixed(1)} s).`);
  say(
    'A board that runs takes it by `trayward board update`. A new one: hold the BOOTSEL button while plugging it in, then `trayward board image`.',
  );
}

main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
});
