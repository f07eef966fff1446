/** The flash image that comes with the program, on to a board that waits for it. */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { version } from '../../package.json';
import type { Hello } from '../../shared/link/methods';
import { readImage } from '../bench/image';
import type { Context, World } from '../context';
import { failed, refused } from '../failure';
import { readBounded } from '../files/bounded-read';
import { LinkError } from '../link/client';
import { wrap } from '../terminal/output';
import { copyTo, driveFor, isBootDrive, mountPlaces } from './boot-drive';

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

/** Who answers now; a board that says why it does not run is told apart from one that says nothing. */
async function answering({ world }: Context): Promise<{ found: readonly Hello[]; why: string }> {
  try {
    return { found: (await world.findControllers()).map(({ hello }) => hello), why: '' };
  } catch (error) {
    const isRefused = error instanceof LinkError && error.kind === 'refused';
    return { found: [], why: isRefused ? error.message : '' };
  }
}

/** The controller that has come since, or why it does not run; neither where nobody answered in time. */
async function newcomer(context: Context, before: ReadonlySet<string>) {
  let last = '';
  for (let waitedMs = 0; waitedMs < BACK_MS; waitedMs += POLL_MS) {
    await context.world.pause(POLL_MS);
    const { found, why } = await answering(context);
    const hello = found.find(({ boardId }) => !before.has(boardId));
    if (hello !== undefined) return { hello, why: '' };
    last = why;
  }
  return { hello: null, why: last };
}

function outcome(isWhole: boolean, hello: Hello | null, why: string): string {
  if (hello !== null) {
    const other = hello.firmware === version ? '' : ` This program is ${version}.`;
    return `The image is on the board: ${hello.boardId} answers with ${hello.firmware}.${other}`;
  }
  if (why !== '') return `The image was copied, and the board does not run it: ${why}`;
  return isWhole
    ? 'The image is on the board. No new controller has answered yet: look at its lamp, and try `trayward find`.'
    : 'The drive went before it said that all was written, as it may when it is done. Look at the lamp of the board; if it stays dark, copy again.';
}

/** Copies the image to the drive, and waits for the board that starts with it. */
export async function putImage(context: Context, named: string | null, to: string | null) {
  const { world } = context;
  const path = imageFor(named, world);
  // Refuses what would not start.
  readImage(path);
  const uf2 = readBounded(path, UF2_MAX_BYTES, 'a flash image');
  const drive = driveFor(to, mountPlaces(process.platform, world.env.USER));
  const before = new Set((await answering(context)).found.map(({ boardId }) => boardId));
  context.say(`Copying to ${drive}. Leave the board plugged in.`);
  let isWhole: boolean;
  try {
    isWhole = copyTo(drive, uf2);
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw failed(
      'drive-error',
      `The drive did not take the image: ${why}.`,
      'Unplug the board, plug it in with BOOTSEL held, and copy again: the boot drive cannot be spoiled.',
    );
  }
  context.say(`Waiting for the board, ${BACK_MS / 1000} seconds at most.`);
  const { hello, why } = await newcomer(context, before);
  if (hello === null && why === '' && isBootDrive(drive))
    throw failed(
      'image-not-taken',
      `The drive at ${drive} is still there: the board has not taken the image.`,
      'Unplug the board, plug it in with BOOTSEL held, and copy again.',
    );
  return {
    result: {
      image: path,
      drive,
      bytes: uf2.length,
      boardId: hello?.boardId ?? null,
      firmware: hello?.firmware ?? null,
    },
    text: wrap(outcome(isWhole, hello, why), context.style.width),
  };
}
