/** Another image on to a board that runs, without a button: into its boot drive, the copy, and the same tray afterwards. */
import { existsSync } from 'node:fs';
import { setTimeout as delay } from 'node:timers/promises';
import { isReachedAt, runningBenches } from '../../shared/host/benches';
import type { Status } from '../../shared/link/status';
import { formatQuantity } from '../../shared/units';
import { setClock } from '../connection';
import type { Context } from '../context';
import { CommandError, failed, refused } from '../failure';
import { type Client, LinkError } from '../link/client';
import { wrap } from '../terminal/output';
import { bootDrives, drivePlaces, isBootDrive } from './boot-drive';
import { type ImageFile, imageFile } from './image-file';
import { copyImage, notTaken, putImage } from './put-image';

/** A system shows a drive in a few seconds; an old laptop that looks for its driver first takes longer. */
const DRIVE_MS = 30_000;
/** The ROM writes its last block, starts the image, and the system finds the port anew. */
const BACK_MS = 60_000;
const POLL_MS = 1000;
/** A bench whose time flies must not be over before its drive was looked at. */
const LOOK_MS = 50;
/** Where Linux has a drive that it has not mounted. */
const UNMOUNTED = '/dev/disk/by-label/RPI-RP2';

const CAUTION =
  'Until the board has the image it holds nothing: no heat, no water, no alarm. That takes half a minute as a rule. Nothing but the image ends it, for a board that shows its boot drive has no watchdog: stay until it answers again.';
const LEFT =
  'The board holds nothing now: no heat, no water, no alarm. It waits for its image: trayward board update, again. Without it: switch it off and on, supply and USB; unless the copy had begun, it goes on with the image it had.';

export interface UpdateWanted {
  readonly image: string | null;
  /** Where its drive will appear; null: where the system puts drives. */
  readonly to: string | null;
  /** The version that runs already, all the same. */
  readonly again: boolean;
  /** Nobody is asked. */
  readonly sure: boolean;
}

/** What must be the same afterwards. */
type Held = Pick<Status, 'profile' | 'stage'>;

/** What comes of it. */
export interface Updated {
  readonly image: string;
  readonly drive: string | null;
  readonly boardId: string | null;
  /** What ran, and what runs; null where the board was a drive before, or has not answered yet. */
  readonly from: string | null;
  readonly to: string | null;
  readonly updated: boolean;
}

const drivesAt = (to: string | null, context: Context): readonly string[] => {
  if (to === null) return bootDrives(drivePlaces(context.world));
  return isBootDrive(to) ? [to] : [];
};

/** Nobody answered, rather than somebody who says no. */
function isNobody(error: unknown): boolean {
  if (error instanceof LinkError) return ['absent', 'silent', 'lost'].includes(error.kind);
  return error instanceof CommandError && error.reason === 'none-found';
}

/** The controller; null where a board waits as a drive and none answers: an update that was cut. */
async function reached(context: Context, to: string | null): Promise<Client | null> {
  const drives = drivesAt(to, context);
  if (drives.length === 0) return context.client();
  const client = await context.client().catch((error: unknown) => {
    if (isNobody(error)) return null;
    throw error;
  });
  if (client === null) return null;
  throw refused(
    'boot-drive-before',
    `A board waits for an image already (${drives.join(', ')}), and ${client.hello.boardId} answers beside it: of two drives nobody could tell which is whose.`,
    `Give that one its image first, or unplug it: trayward board image --to ${drives[0]}`,
  );
}

function refuseElsewhere({ port }: Client, to: string | null): void {
  if (to !== null || !port.startsWith('tcp://')) return;
  const bench = runningBenches().find((one) => isReachedAt(one, port));
  if (bench === undefined)
    throw refused(
      'not-beside',
      `The controller is reached at ${port}, over a network: its drive would appear at the computer that its USB cable goes to.`,
      'Run this there, with the port that the board has there.',
    );
  if (bench.drive === null)
    throw refused(
      'bench-without-drive',
      'This bench has no place where the drive of its board could appear.',
      'Start one that has: trayward bench start --drive FOLDER',
    );
}

const trayText = ({ profile, stage }: Held): string => {
  if (profile === null) return 'No profile is on it.';
  return `It has the profile "${profile.title}", ${stage === null ? 'nothing sown' : `stage "${stage.name}"`}.`;
};

async function leave({ hello, call }: Client): Promise<void> {
  try {
    await call('controller.bootDrive', {});
  } catch (error) {
    if (!(error instanceof LinkError) || error.reason !== 'unknown-method') throw error;
    throw refused(
      'firmware-too-old',
      `Firmware ${hello.firmware} cannot show the boot drive by itself yet.`,
      'This once with the button: hold BOOTSEL while plugging the board in, then: trayward board image. From then on this command does it.',
    );
  }
}

/** Waits in the board's time, and gives others theirs. */
async function waited({ world }: Context): Promise<void> {
  await world.sleep(POLL_MS);
  await delay(LOOK_MS);
}

async function awaitDrive(context: Context, to: string | null, before: Client): Promise<string> {
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
  const back = await answering(context, before);
  if (back !== null) {
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
async function answering({ world }: Context, { hello, port }: Client): Promise<Client | null> {
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

async function awaitBoard(context: Context, before: Client, drive: string, isWhole: boolean) {
  context.say(`Waiting for the board, ${BACK_MS / 1000} seconds at most.`);
  for (let ms = 0; ms < BACK_MS; ms += POLL_MS) {
    await waited(context);
    const client = await answering(context, before);
    if (client !== null) return client;
  }
  if (isBootDrive(drive)) throw notTaken(drive);
  throw failed(
    'not-back',
    `${isWhole ? 'The image was copied' : 'The drive went before it said that all was written'}, and board ${before.hello.boardId} has not answered for ${BACK_MS / 1000} s.`,
    'Look at its lamp, and try `trayward find`. Dark: switch it off and on, supply and USB; if a drive appears, or with BOOTSEL held: trayward board image',
  );
}

/** What is not as it was; null: all is well. */
function astray(image: ImageFile, before: Held, { hello }: Client, after: Held) {
  if (image.version !== null && hello.firmware !== image.version)
    return failed(
      'other-version',
      `The board answers with ${hello.firmware}, and ${image.path} brings ${image.version}.`,
      'Put it on again: trayward board update --again',
    );
  const isSame =
    after.profile?.id === before.profile?.id && (after.stage === null) === (before.stage === null);
  if (isSame) return null;
  return failed(
    'run-lost',
    `The board runs ${hello.firmware}, and not as before. Before: ${trayText(before)} Now: ${trayText(after)}`,
    'See `trayward alarm list` and `trayward journal show`; load the profile again, and say where the tray is: trayward profile load --help',
  );
}

/** The update of a board that answers. */
async function update(
  context: Context,
  client: Client,
  image: ImageFile,
  to: string | null,
): Promise<{ readonly result: Updated; readonly text: string }> {
  const { world } = context;
  const { firmware: from, boardId } = client.hello;
  const before = await client.call('status.read', {});
  const fromMs = world.now();
  await leave(client);
  let isAway = true;
  context.atEnd(() => {
    if (isAway) context.caution(LEFT);
  });
  await client.close();
  context.say('The board leaves for its boot drive. Mat and pump are off.');
  const drive = await awaitDrive(context, to, client);
  const isWhole = copyImage(context, drive, image.uf2);
  const back = await awaitBoard(context, client, drive, isWhole);
  isAway = false;
  context.atEnd(() => back.close());
  await setClock(back, world);
  const after = await back.call('status.read', {});
  const wrong = astray(image, before, back, after);
  if (wrong !== null) throw wrong;
  const awayS = Math.round((world.now() - fromMs) / 1000);
  const away = formatQuantity('duration', awayS, context.units);
  return {
    result: { image: image.path, drive, boardId, from, to: back.hello.firmware, updated: true },
    text: `Board ${boardId} runs ${back.hello.firmware}; before, ${from}. It held nothing for ${away}. ${trayText(after)}`,
  };
}

/** An update that was cut after the board had left: it waits, and says nothing of itself. */
async function resumed(context: Context, image: ImageFile, to: string | null) {
  context.say('No controller answers, and a board waits for an image: it gets this one.');
  const { result, text } = await putImage(context, image.path, to);
  const { drive, boardId, firmware } = result;
  return {
    result: { image: image.path, drive, boardId, from: null, to: firmware, updated: true },
    text,
  };
}

/** From a board that runs to the new image on it. Throws `CommandError` with what became of the tray. */
export async function updateBoard(
  context: Context,
  { image: named, to, again, sure }: UpdateWanted,
) {
  const image = imageFile(named, context.world);
  const client = await reached(context, to);
  if (client === null) return resumed(context, image, to);
  const { boardId, firmware } = client.hello;
  const comes = image.version ?? 'an image that does not say its version';
  if (image.version === firmware && !again)
    return {
      result: {
        image: image.path,
        drive: null,
        boardId,
        from: firmware,
        to: firmware,
        updated: false,
      },
      text: wrap(
        `Board ${boardId} runs ${firmware} already: nothing was done. --again puts it on all the same.`,
        context.style.width,
      ),
    };
  refuseElsewhere(client, to);
  context.caution(CAUTION);
  const question = `Board ${boardId} runs ${firmware}; ${image.path} brings ${comes}. ${trayText(await client.call('status.read', {}))} Put it on now?`;
  if (!sure && !(await context.ask.confirm(question)))
    throw refused('not-confirmed', 'The board was left as it is.', 'Nothing changed.');
  context.say(`From ${firmware} to ${comes}.`);
  const { result, text } = await update(context, client, image, to);
  return { result, text: wrap(text, context.style.width) };
}
