/** The flash image that is put on a board: the one named, or that which comes with the program. */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { versionInUf2 } from '../../shared/board/uf2';
import { readImage } from '../bench/image';
import type { World } from '../context';
import { refused } from '../failure';
import { readBounded } from '../files/bounded-read';

const UF2_MAX_BYTES = 8 * 1024 * 1024;
/** The first firmware that can be told which NTC a probe is; an older one passes over what was told. */
const TOLD_NTCS_SINCE = '0.2.0';
const byNumbers = new Intl.Collator('en', { numeric: true });

export interface ImageFile {
  readonly path: string;
  readonly uf2: Uint8Array;
  /** Of its firmware; null where the file does not say, as those of older builds. */
  readonly version: string | null;
}

/** Where the package and a clone have it: above the program's folder. */
function pathOf(named: string | null, { script }: World): string {
  if (named !== null) return named;
  const beside = script === null ? null : join(dirname(script), '..', 'trayward.uf2');
  if (beside !== null && existsSync(beside)) return beside;
  throw refused(
    'no-image',
    'There is no flash image beside this program.',
    'In a clone, make one: npm run image. Else name one: --image trayward.uf2.',
  );
}

/** Refuses what would not start. */
export function imageFile(named: string | null, world: World): ImageFile {
  const path = pathOf(named, world);
  readImage(path);
  const uf2 = readBounded(path, UF2_MAX_BYTES, 'a flash image');
  return { path, uf2, version: versionInUf2(uf2) };
}

/** Whether the image's firmware reads, and limits, by the NTC that its board was told; false where it does not say its version. */
export const readsToldNtcs = ({ version }: ImageFile): boolean =>
  version !== null && byNumbers.compare(version, TOLD_NTCS_SINCE) >= 0;
