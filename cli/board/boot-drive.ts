/** The drive that an RP2040 shows while it waits for an image, and the copy to it. */
import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readdirSync,
  readFileSync,
  statSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { refused } from '../failure';

/** What the boot ROM says of itself there (RP2040 data sheet 2.8.4, UF2 format, "INFO_UF2.TXT"). */
const INFO_FILE = 'INFO_UF2.TXT';
const INFO_ID = /^Board-ID:\s*RPI-RP2\s*$/m;
/** More is no such file. */
const INFO_MAX_BYTES = 4096;
const NEXT =
  'Hold BOOTSEL while plugging the board in, wait for the drive, and name it: --to /media/you/RPI-RP2.';

/** The chip takes the last block, starts the image and is gone; so is one that is pulled out. */
const GONE: ReadonlySet<unknown> = new Set(['EIO', 'ENODEV', 'ENXIO', 'ENOENT']);

/** Where systems put the drives of a user. */
export function mountPlaces(
  platform: NodeJS.Platform,
  user: string | undefined,
): readonly string[] {
  if (platform === 'darwin') return ['/Volumes'];
  if (platform === 'win32')
    return Array.from('DEFGHIJKLMNOPQRSTUVWXYZ', (letter) => `${letter}:\\`);
  return user === undefined ? ['/media', '/mnt'] : [`/media/${user}`, `/run/media/${user}`, '/mnt'];
}

/** Whether an RP2040 waits for an image there. */
export function isBootDrive(path: string): boolean {
  const info = join(path, INFO_FILE);
  try {
    const { size } = statSync(info);
    return size <= INFO_MAX_BYTES && INFO_ID.test(readFileSync(info, 'utf8'));
  } catch {
    return false;
  }
}

/** Boot drives among `places` and in them. */
export function bootDrives(places: readonly string[]): readonly string[] {
  const inside = (place: string): readonly string[] => {
    try {
      return readdirSync(place).map((name) => join(place, name));
    } catch {
      return [];
    }
  };
  return places.flatMap((place) => [place, ...inside(place)]).filter(isBootDrive);
}

/** The drive to write to: the one named, or the only one there is. Refused otherwise, with what to do. */
export function driveFor(named: string | null, places: readonly string[]): string {
  if (named !== null) {
    if (isBootDrive(named)) return named;
    const why = existsSync(named) ? `has no ${INFO_FILE} of an RP2040` : 'is not there';
    throw refused('no-boot-drive', `${named} ${why}: no board waits for an image there.`, NEXT);
  }
  const [drive, ...others] = bootDrives(places);
  if (drive === undefined) throw refused('no-boot-drive', 'No board waits for an image.', NEXT);
  if (others.length === 0) return drive;
  throw refused(
    'several-boot-drives',
    `Several boards wait for an image: ${[drive, ...others].join(', ')}.`,
    'Name the drive with --to.',
  );
}

/**
 * Copies it; the board starts with it by itself. True once the system says that all of it was written; false where the
 * drive was gone before. Throws what the system says of a drive that does not take it.
 */
export function copyTo(drive: string, uf2: Uint8Array): boolean {
  const file = openSync(join(drive, 'trayward.uf2'), 'w');
  let written = 0;
  try {
    while (written < uf2.length) written += writeSync(file, uf2, written);
    fsyncSync(file);
    return true;
  } catch (error) {
    if (written < uf2.length || !GONE.has(Object(error).code)) throw error;
    return false;
  } finally {
    close(file);
  }
}

function close(file: number): void {
  try {
    closeSync(file);
  } catch {
    // What matters was told before.
  }
}
