/** The boot drive of a bench's board, as a system shows it: a folder in which files are, while the board waits. */
import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { UF2_BLOCK_BYTES } from '../../../shared/board/uf2';
import type { BootDriveEnd, ServableBench } from '../servable';

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
  /** The drive that is shown now. */
  let shown: BootDriveEnd | null = null;
  /** Which file, and how much of it the board has. */
  let file = '';
  let taken = 0;

  function show(drive: BootDriveEnd): void {
    mkdirSync(path, { recursive: true });
    writeFileSync(info, INFO);
    shown = drive;
    file = '';
  }
  function hide(): void {
    if (shown === null) return;
    for (const one of [info, image]) rmSync(one, { force: true });
    shown = null;
  }
  function look(): void {
    const { bootDrive } = bench;
    if (bootDrive !== shown) hide();
    if (bootDrive === null) return;
    if (shown === null) show(bootDrive);
    const stat = statSync(image, { throwIfNoEntry: false });
    if (stat === undefined) return;
    const { ino, birthtimeMs, size } = stat;
    if (`${ino} ${birthtimeMs}` !== file || size < taken) taken = 0;
    file = `${ino} ${birthtimeMs}`;
    if (size < taken + UF2_BLOCK_BYTES) return;
    const bytes = readFileSync(image);
    for (; taken + UF2_BLOCK_BYTES <= bytes.length; taken += UF2_BLOCK_BYTES) {
      bootDrive.write(bytes.subarray(taken, taken + UF2_BLOCK_BYTES));
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
