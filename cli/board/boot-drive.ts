/** The drive that an RP2040 shows while it waits for an image, and the copy to it. */
import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { uf2Parts } from '../../shared/board/uf2';
import { runningBenches } from '../../shared/host/benches';
import type { World } from '../context';
import { refused } from '../failure';

/** What the boot ROM says of itself there (RP2040 data sheet 2.8.4, UF2 format, "INFO_UF2.TXT"). */
const INFO_FILE = 'INFO_UF2.TXT';
const INFO_ID = /^Board-ID:\s*RPI-RP2\s*$/m;
/** More is no such file. */
const INFO_MAX_BYTES = 4096;
const NEXT =
  'A board that runs shows it by itself: `trayward board update`. Else hold BOOTSEL while plugging the board in, wait for the drive, and name it: --to /media/you/RPI-RP2.';

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

/** The same of this machine, and where benches show the drives of their boards. */
export function drivePlaces({ env }: Pick<World, 'env'>): readonly string[] {
  const benches = runningBenches().flatMap(({ drive }) => (drive === null ? [] : [drive]));
  return [...mountPlaces(process.platform, env.USER), ...benches];
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
 * Copies it, part by part, so that a cut leaves a board that waits as a drive again; the board starts with it by itself.
 * True once the system says that all of it was written; false where the drive was gone before. Throws what the system says
 * of a drive that does not take it.
 */
export function copyTo(drive: string, uf2: Uint8Array): boolean {
  const path = join(drive, 'trayward.uf2');
  // What is left of a copy that was cut.
  rmSync(path, { force: true });
  const file = openSync(path, 'w');
  const parts = uf2Parts(uf2);
  let last = 0;
  try {
    parts.forEach((part, at) => {
      for (let written = 0; written < part.length; ) written += writeSync(file, part, written);
      last = at;
      fsyncSync(file);
    });
    return true;
  } catch (error) {
    if (last < parts.length - 1 || !GONE.has(Object(error).code)) throw error;
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
