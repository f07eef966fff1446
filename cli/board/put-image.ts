/** The flash image that comes with the program, on to a board that waits for it. */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { version } from '../../package.json';
import { readImage } from '../bench/image';
import type { Context, World } from '../context';
import { failed, refused } from '../failure';
import { readBounded } from '../files/bounded-read';
import { copyTo, driveFor, mountPlaces } from './boot-drive';

/** A board writes its flash and makes its first ticks in well under this. */
const BACK_MS = 30_000;
const POLL_MS = 1000;
const UF2_MAX_BYTES = 8 * 1024 * 1024;

/** Where the package and a clone have it: above the program's folder. */
function imageFor(named: string | null, { script }: World): string {
  if (named !== null) return named;
  const beside = script === null ? null : join(dirname(script), '..', 'trayward.uf2');
  if (beside !== null && existsSync(beside)) return beside;
  throw refused(
    'no-image',
    'There is no flash image beside this program.',
    'In a clone, make one: npm run image. Else name one: --image trayward.uf2.',
  );
}

/** The controller that answers after the image was taken; null when none did in time. */
async function backAfter({ world }: Context) {
  for (let waitedMs = 0; waitedMs < BACK_MS; waitedMs += POLL_MS) {
    await world.pause(POLL_MS);
    const found = await world.findControllers().catch(() => []);
    const [controller] = found;
    if (controller !== undefined && found.length === 1) return controller.hello;
  }
  return null;
}

/** Copies the image to the drive, and waits for the board that starts with it. */
export async function putImage(context: Context, named: string | null, to: string | null) {
  const { world } = context;
  const path = imageFor(named, world);
  // Refuses what would not start.
  readImage(path);
  const uf2 = readBounded(path, UF2_MAX_BYTES, 'a flash image');
  const drive = driveFor(to, mountPlaces(process.platform, world.env.USER));
  context.say(`Copying to ${drive}. Leave the board plugged in.`);
  try {
    copyTo(drive, uf2);
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw failed(
      'drive-error',
      `The drive did not take the image: ${why}.`,
      'Unplug the board, plug it in with BOOTSEL held, and copy again: the boot drive cannot be spoiled.',
    );
  }
  const hello = await backAfter(context);
  const answers =
    hello === null
      ? 'No controller has answered yet: look at its lamp, and try `trayward find`.'
      : `Board ${hello.boardId} answers with ${hello.firmware}.`;
  const other = hello !== null && hello.firmware !== version ? ` This program is ${version}.` : '';
  return {
    result: {
      image: path,
      drive,
      bytes: uf2.length,
      boardId: hello?.boardId ?? null,
      firmware: hello?.firmware ?? null,
    },
    text: `The image is on the board. ${answers}${other}`,
  };
}
