/** The boot drive of a bench's board, as a system shows it: a folder in which files are, while the board waits. */
import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { UF2_BLOCK_BYTES } from '../../../shared/board/uf2';
import type { ServableBench } from '../servable';

/** As the boot ROM writes it (its published source, `info_uf2.txt`). */
const INFO_FILE = 'INFO_UF2.TXT';
const INFO = 'UF2 Bootloader v3.0\nModel: Raspberry Pi RP2\nBoard-ID: RPI-RP2\n';
const IMAGE_FILE = 'trayward.uf2';
const LOOK_MS = 20;

/**
 * Shows the drive in the folder `path`, and hands on what is copied to its image file. `onTaken`: the board is about to
 * start what it was given.
 */
export function showBootDrive(
  bench: ServableBench,
  path: string,
  onTaken: () => void,
): { close(): void } {
  const info = join(path, INFO_FILE);
  const image = join(path, IMAGE_FILE);
  let isShown = false;
  /** Which file, and how much of it the board has. */
  let file = Number.NaN;
  let taken = 0;

  function show(): void {
    mkdirSync(path, { recursive: true });
    writeFileSync(info, INFO);
    isShown = true;
    file = Number.NaN;
  }
  function hide(): void {
    if (!isShown) return;
    for (const one of [info, image]) rmSync(one, { force: true });
    isShown = false;
  }
  function look(): void {
    if (bench.writeBootDrive === null) {
      hide();
      return;
    }
    if (!isShown) show();
    const stat = statSync(image, { throwIfNoEntry: false });
    if (stat === undefined) return;
    if (stat.ino !== file) taken = 0;
    file = stat.ino;
    if (stat.size < taken + UF2_BLOCK_BYTES) return;
    const bytes = readFileSync(image);
    for (; taken + UF2_BLOCK_BYTES <= bytes.length; taken += UF2_BLOCK_BYTES) {
      bench.writeBootDrive?.(bytes.subarray(taken, taken + UF2_BLOCK_BYTES));
    }
    onTaken();
  }
  const looking = setInterval(look, LOOK_MS);
  return {
    close() {
      clearInterval(looking);
      hide();
    },
  };
}
