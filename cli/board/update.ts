/** Another image on to a board that runs, without a button: into its boot drive, the copy, and the same tray afterwards. */
import { resolve } from 'node:path';
import { PROBE_NAMES, PROBES } from '../../shared/board/probes';
import { isReachedAt, runningBenches } from '../../shared/host/benches';
import type { ProbesRead } from '../../shared/link/methods';
import type { Status } from '../../shared/link/status';
import { formatQuantity } from '../../shared/units';
import { setClock } from '../connection';
import type { Context } from '../context';
import { CommandError, failed, refused } from '../failure';
import { type Client, LinkError } from '../link/client';
import { wrap } from '../terminal/output';
import { curveText, PROBE_WORDS } from '../words/probe';
import { awaitBoard, awaitDrive, drivesLeft, isDriveSoon } from './board-away';
import { type ImageFile, imageFile, readsToldNtcs } from './image-file';
import { copyImage, putImage } from './put-image';

const CAUTION =
  'Until the board has the image it holds nothing: no heat, no water, no alarm. That takes half a minute as a rule. Nothing but the image ends it, for a board that shows its boot drive has no watchdog: stay until it answers again.';
/** Said where the command ends before the board is back, by how far it was. */
const LEFT =
  'The board holds nothing now: no heat, no water, no alarm. It waits for its image: trayward board update, again. Without it: switch it off and on, supply and USB; unless the copy had begun, it goes on with the image it had.';
const UNHEARD =
  'As long as the board does not answer, take it that it holds nothing: no heat, no water, no alarm.';

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

/** Nobody answered, rather than somebody who says no. */
function isNobody(error: unknown): boolean {
  if (error instanceof LinkError) return ['absent', 'silent', 'lost'].includes(error.kind);
  return error instanceof CommandError && error.reason === 'none-found';
}

/**
 * The controller; null where a board waits as a drive and none answers: an update that was cut, and whose drive the system
 * may be about to show.
 */
async function reached(context: Context, to: string | null): Promise<Client | null> {
  const client = await context.client().catch(async (error: unknown) => {
    if (isNobody(error) && (await isDriveSoon(context, to))) return null;
    throw error;
  });
  if (client === null) return client;
  const drives = await drivesLeft(context, to);
  if (drives.length === 0) return client;
  throw refused(
    'boot-drive-before',
    `A board waits for an image already (${drives.join(', ')}), and ${client.hello.boardId} answers beside it: of two drives nobody could tell which is whose.`,
    `Give that one its image first, or unplug it: trayward board image --to ${drives[0]}`,
  );
}

function refuseElsewhere({ port }: Client, to: string | null): void {
  if (!port.startsWith('tcp://')) return;
  const bench = runningBenches().find((one) => isReachedAt(one, port));
  if (bench === undefined && to !== null) return;
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
  if (to !== null && resolve(to) !== bench.drive)
    throw refused(
      'drive-elsewhere',
      `The drive of this bench's board would appear at ${bench.drive}, and not at ${to}.`,
      'Leave --to out: a bench says where its drive is.',
    );
}

/** Refused where the image would read a probe by another curve than its own: the mat's limiter goes by it as well. */
async function refuseOtherCurves({ call }: Client, image: ImageFile): Promise<void> {
  if (readsToldNtcs(image)) return;
  // Firmware that cannot be told of NTCs says nothing of them.
  const read: Partial<ProbesRead> = await call('probe.read', {});
  for (const name of PROBE_NAMES) {
    const curve = read[PROBES[name].curve] ?? 'reference';
    if (curve === 'reference') continue;
    throw refused(
      'curve-unknown-there',
      `The ${PROBE_WORDS[name].probe} is read by ${curveText(curve)}. ${image.path} brings ${versionText(image)}, which would read it as the reference probe: heat, and the limit that switches the mat off, would go by a wrong temperature.`,
      'Put on an image of this version of the program or a newer one. For this one, have a reference probe in its place first, and tell the board: trayward probe curve --reference',
    );
  }
}

const versionText = ({ version }: ImageFile): string =>
  version ?? 'an image that does not say its version';

const trayText = ({ profile, stage }: Held): string => {
  if (profile === null) return 'No profile is on it.';
  return `It has the profile "${profile.title}", ${stage === null ? 'nothing sown' : `stage "${stage.name}"`}.`;
};

async function leave({ hello, call }: Client): Promise<void> {
  try {
    await call('controller.bootDrive', {});
  } catch (error) {
    if (!(error instanceof LinkError)) throw error;
    // Its answer was lost, and it has left since: its drive will tell.
    if (error.kind === 'lost' || error.kind === 'silent') return;
    if (error.reason !== 'unknown-method') throw error;
    throw refused(
      'firmware-too-old',
      `Firmware ${hello.firmware} cannot show the boot drive by itself yet.`,
      'This once with the button: hold BOOTSEL while plugging the board in, then: trayward board image. From then on this command does it.',
    );
  }
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
  let unheld: string | null = LEFT;
  context.atEnd(() => {
    if (unheld !== null) context.caution(unheld);
  });
  const isThere = (): void => {
    unheld = null;
  };
  await leave(client).catch((error: unknown) => {
    isThere();
    throw error;
  });
  await client.close();
  context.say('The board leaves for its boot drive. Mat and pump are off.');
  const drive = await awaitDrive(context, to, client, isThere);
  const isWhole = copyImage(context, drive, image.uf2);
  unheld = UNHEARD;
  const back = await awaitBoard(context, client, drive, isWhole);
  isThere();
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
  const comes = versionText(image);
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
  await refuseOtherCurves(client, image);
  context.caution(CAUTION);
  const question = `Board ${boardId} runs ${firmware}; ${image.path} brings ${comes}. ${trayText(await client.call('status.read', {}))} Put it on now?`;
  if (!sure && !(await context.ask.confirm(question)))
    throw refused('not-confirmed', 'The board was left as it is.', 'Nothing changed.');
  context.say(`From ${firmware} to ${comes}.`);
  const { result, text } = await update(context, client, image, to);
  return { result, text: wrap(text, context.style.width) };
}
