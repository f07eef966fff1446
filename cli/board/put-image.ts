/** A flash image on to a board that waits for it. */
import { version } from '../../package.json';
import type { Hello } from '../../shared/link/methods';
import type { Context } from '../context';
import { failed } from '../failure';
import { LinkError } from '../link/client';
import { wrap } from '../terminal/output';
import { copyTo, driveFor, drivePlaces, isBootDrive } from './boot-drive';
import { imageFile } from './image-file';
import { BACK_MS, POLL_MS } from './limits';

const DRIVE_AGAIN =
  'Switch the board off and on, supply and USB: it shows its drive again by itself, or with BOOTSEL held.';

/** Who answers now; a board that says why it does not run is told apart from one that says nothing. */
async function allThatAnswer({
  world,
}: Context): Promise<{ found: readonly Hello[]; why: string }> {
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
    const { found, why } = await allThatAnswer(context);
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

/** Copies with words; false where the drive was gone before all was said to be written. Throws `drive-error`. */
export function copyImage(context: Context, drive: string, uf2: Uint8Array): boolean {
  context.say(`Copying to ${drive}. Leave the board plugged in.`);
  try {
    return copyTo(drive, uf2);
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw failed(
      'drive-error',
      `The drive did not take the image: ${why}.`,
      `${DRIVE_AGAIN} Then \`trayward board image\`: the boot drive cannot be spoiled.`,
    );
  }
}

/** The board has not started what it was given. */
export const notTaken = (drive: string) =>
  failed(
    'image-not-taken',
    `The drive at ${drive} is still there: the board has not taken the image.`,
    `${DRIVE_AGAIN} Then copy again: trayward board image.`,
  );

/** Copies the image to the drive, and waits for the board that starts with it. */
export async function putImage(context: Context, named: string | null, to: string | null) {
  const { world } = context;
  const { path, uf2 } = imageFile(named, world);
  const drive = driveFor(to, drivePlaces(world));
  const before = new Set((await allThatAnswer(context)).found.map(({ boardId }) => boardId));
  const isWhole = copyImage(context, drive, uf2);
  context.say(`Waiting for the board, ${BACK_MS / 1000} seconds at most.`);
  const { hello, why } = await newcomer(context, before);
  if (hello === null && why === '' && isBootDrive(drive)) throw notTaken(drive);
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
