/** A flash image for the bench, from a file. */
import { readFileSync } from 'node:fs';
import { bootStageIsSound } from '../../firmware/bench/chip/boot-stage';
import { fromUf2 } from '../../firmware/image/uf2';
import { CommandError } from '../failure';

const NEXT = 'Make one with `npm run image`, and give `--image trayward.uf2`.';

/** Flash content of a UF2 file. Throws what a grower can act on. */
export function readImage(path: string): Uint8Array {
  let file: Uint8Array;
  try {
    file = readFileSync(path);
  } catch {
    throw new CommandError('invalid', 'no-image', `There is no file ${path} to read.`, NEXT);
  }
  try {
    const image = fromUf2(file);
    if (!bootStageIsSound(image)) throw new Error('Its boot stage is damaged.');
    return image;
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw new CommandError('invalid', 'bad-image', `${path} cannot be run: ${why}`, NEXT);
  }
}
