/** A flash image for the bench, from a file. */
import { bootStageIsSound } from '../../firmware/bench/chip/boot-stage';
import { digestInUf2, fromUf2 } from '../../shared/board/uf2';
import { isSameBytes } from '../../shared/bytes';
import { sha256 } from '../../shared/host/sha256';
import { CommandError } from '../failure';
import { readBounded } from '../files/bounded-read';

const NEXT = 'Make one with `npm run image`, and give `--image trayward.uf2`.';

/** Every one of 2 MB of flash takes two in the file: a block of 512 bytes carries 256. Twice that is no image. */
const UF2_MAX_BYTES = 8 * 1024 * 1024;

/** Flash content of a UF2 file. Throws what a grower can act on. */
export function readImage(path: string): Uint8Array {
  const file = readBounded(path, UF2_MAX_BYTES, 'a flash image');
  try {
    const image = fromUf2(file);
    if (!bootStageIsSound(image)) throw new Error('Its boot stage is damaged.');
    const digest = digestInUf2(file);
    if (digest !== null && !isSameBytes(digest, sha256(image))) {
      throw new Error('It is damaged: its content is not what its checksum says.');
    }
    return image;
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw new CommandError('invalid', 'bad-image', `${path} cannot be run: ${why}`, NEXT);
  }
}
