/** A board that is away for its image: its drive, and its answer afterwards. */
import { existsSync } from 'node:fs';
import { setTimeout as delay } from 'node:timers/promises';
import type { Context } from '../context';
import { failed } from '../failure';
import type { Client } from '../link/client';
import { bootDrives, drivePlaces, isBootDrive } from './boot-drive';
import { BACK_MS, POLL_MS } from './limits';
import { notTaken } from './put-image';

/** A system shows a drive in a few seconds; an old laptop that looks for its driver first takes longer. */
const DRIVE_MS = 30_000;
/** Where nobody answers: a board that has just left is seen by then, as a rule. */
const SOON_MS = 5_000;
/** A bench whose time flies must not be over before its drive was looked at. */
const LOOK_MS = 50;
/** Where Linux has a drive that it has not mounted. */
const UNMOUNTED = '/dev/disk/by-label/RPI-RP2';

/** Boards that wait for an image: where they are looked for, or at the place that was named. */
export const drivesAt = (to: string | null, context: Context): readonly string[] => {
  if (to === null) return bootDrives(drivePlaces(context.world));
  return isBootDrive(to) ? [to] : [];
};

/** Waits in the board's time, and gives others theirs. */
async function waited({ world }: Context): Promise<void> {
  await world.sleep(POLL_MS);
  await delay(LOOK_MS);
}

/** Whether a board shows its drive, or is about to. */
export async function isDriveSoon(context: Context, to: string | null): Promise<boolean> {
  for (let ms = 0; ms < SOON_MS; ms += POLL_MS) {
    if (drivesAt(to, context).length > 0) return true;
    await waited(context);
  }
  return drivesAt(to, context).length > 0;
}

/** The drives that stay: that of a board which has just got its image is shown for a moment more. */
export async function drivesLeft(context: Context, to: string | null): Promise<readonly string[]> {
  for (let ms = 0; ms < SOON_MS && drivesAt(to, context).length > 0; ms += POLL_MS) {
    await waited(context);
  }
  return drivesAt(to, context);
}

/** Its drive. `stayed`: told when it answers as before instead. Throws what to do where there is not one drive. */
export async function awaitDrive(
  context: Context,
  to: string | null,
  before: Client,
  stayed: () => void,
): Promise<string> {
  for (let ms = 0; ms < DRIVE_MS; ms += POLL_MS) {
    await waited(context);
    const [drive, ...others] = drivesAt(to, context);
    if (drive === undefined) continue;
    if (others.length === 0) return drive;
    throw failed(
      'several-boot-drives',
      `Two boards wait for an image now: ${[drive, ...others].join(', ')}. Nobody can tell which is ${before.hello.boardId}.`,
      'Unplug the other one, then: trayward board update',
    );
  }
  const back = await sameBoard(context, before);
  if (back !== null) {
    stayed();
    await back.close();
    throw failed(
      'no-boot-drive',
      `No drive was seen in ${DRIVE_MS / 1000} s, and the board answers with ${back.hello.firmware} as before.`,
      'See `trayward status`, then try again; or with the button: hold BOOTSEL while plugging in, then: trayward board image',
    );
  }
  const isUnmounted = process.platform === 'linux' && existsSync(UNMOUNTED);
  throw failed(
    'no-boot-drive',
    isUnmounted
      ? `The drive of the board is there (${UNMOUNTED}), and this system has not mounted it.`
      : `The board has left, and no drive of it was seen in ${DRIVE_MS / 1000} s.`,
    isUnmounted
      ? `Mount it, such as by: udisksctl mount -b ${UNMOUNTED}; then: trayward board update`
      : 'Look where your system shows drives, and name it: trayward board image --to DRIVE. Or switch the board off and on, supply and USB: it goes on with the image it has.',
  );
}

/** The same board over a new line, at its port or at another one; null while it does not answer. */
async function sameBoard({ world }: Context, { hello, port }: Client): Promise<Client | null> {
  const ports = [port];
  const others = await world.findControllers().catch(() => []);
  ports.push(...others.filter((one) => one.hello.boardId === hello.boardId).map((one) => one.port));
  for (const one of new Set(ports)) {
    const client = await world.connect(one).catch(() => null);
    if (client?.hello.boardId === hello.boardId) return client;
    await client?.close();
  }
  return null;
}

/** The board with the image from `drive` on it. Throws what to do where it does not answer. */
export async function awaitBoard(
  context: Context,
  before: Client,
  drive: string,
  isWhole: boolean,
): Promise<Client> {
  context.say(`Waiting for the board, ${BACK_MS / 1000} seconds at most.`);
  for (let ms = 0; ms < BACK_MS; ms += POLL_MS) {
    await waited(context);
    const client = await sameBoard(context, before);
    if (client !== null) return client;
  }
  if (isBootDrive(drive)) throw notTaken(drive);
  throw failed(
    'not-back',
    `${isWhole ? 'The image was copied' : 'The drive went before it said that all was written'}, and board ${before.hello.boardId} has not answered for ${BACK_MS / 1000} s.`,
    'Look at its lamp, and try `trayward find`. Dark: switch it off and on, supply and USB; if a drive appears, or with BOOTSEL held: trayward board image',
  );
}
