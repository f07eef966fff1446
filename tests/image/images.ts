/** Flash images for the tests: the real one, and ones whose script misbehaves on purpose. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Chip, flashWithImage } from '../../firmware/bench/chip/chip';
import { ChipBench } from '../../firmware/bench/chip/chip-bench';
import { type BuiltImage, buildImage } from '../../firmware/image/build';
import { imagePaths } from '../../firmware/image/paths';
import { missingTools } from '../../firmware/image/toolchain';
import { GrowerAt } from '../simulation/grower';

const missing = await missingTools();

/** True when no image can be built here; the reason is told once for each test file. */
export const cannotBuild = missing.length > 0;
if (cannotBuild) {
  console.warn(
    `\nSKIPPED: the tests of the flash image, because ${missing.join(' and ')} is missing.\n` +
      'Run `npm run image` to install what is needed, or see DEVELOPERS.md.\n',
  );
}

/** The first build of a clean tree compiles the engine. */
export const BUILD_LIMIT_MS = 180_000;

/** The image that growers get. */
export function trayward(): Promise<BuiltImage> {
  return buildImage();
}

/** An image whose controller has these two functions; `board` and `ticks` are in reach. */
export function misbehaving(name: string, tick: string, receive = ''): Promise<BuiltImage> {
  const folder = join(imagePaths().objects, '../scripts');
  mkdirSync(folder, { recursive: true });
  const entry = join(folder, `${name}.js`);
  const script = `let ticks = 0;
globalThis.controller = {
  tick() { ticks += 1; ${tick} },
  receive(door, bytes) { ${receive} },
};
`;
  writeFileSync(entry, script);
  return buildImage(entry, name);
}

/** A board with this image, its supply just switched on, both probes at room temperature. */
export function powered(image: BuiltImage, seed = 1): Chip {
  const chip = new Chip({ flash: flashWithImage(image.bytes, seed), seed });
  chip.powerOn();
  return chip;
}

/** A grower with the real image on the bench. */
export async function growerAtChip(seed = 1): Promise<GrowerAt<ChipBench>> {
  const { bytes } = await trayward();
  return new GrowerAt(new ChipBench({ seed, image: bytes, room: { meanC: 24 } }));
}
