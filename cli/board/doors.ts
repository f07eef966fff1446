/** The step of `board check` that tries both doors of the link: USB, and UART0 at the service header. */
import { UART_BAUD } from '../../shared/board/map';
import { LINK_LIMITS } from '../../shared/link/methods';
import { LINK_FAILURES } from '../failure';
import { type Client, LinkError } from '../link/client';
import type { Trial } from './bench';
import { type Finding, good, untried, wrong } from './finding';

const HEADER = `J8, step 2.4 of the build guide: the adapter's RX on TX, its TX on RX, GND on GND, ${UART_BAUD} 8N1, and 3.3 V, not 5 V.`;

/** The same board at another port; null where none is found. */
async function otherDoor({ context, client }: Trial): Promise<string | null> {
  // The port that we hold is in use: that others are silent is no failure here.
  const found = await context.world.findControllers().catch(() => []);
  const isOther = ({ port, hello }: (typeof found)[number]): boolean =>
    port !== client.port && hello.boardId === client.hello.boardId;
  return found.find(isOther)?.port ?? null;
}

/** Why nobody could be asked there, or what it means that nobody answers. */
function unanswered(port: string, client: Client, { kind, message }: LinkError): Finding {
  switch (kind) {
    case 'silent':
    case 'lost':
      return wrong(
        'doors',
        `Board ${client.hello.boardId} answers at ${client.port}, and nothing does at ${port}.`,
        HEADER,
      );
    case 'not-ours':
      return wrong('doors', `${message} The board answers at ${client.port}.`, HEADER);
    default:
      return untried('doors', message, LINK_FAILURES[kind].next);
  }
}

/** Whether long answers come through, too: without ground, or beside the mat's wires, short ones may. */
async function carriesPage(client: Client): Promise<boolean> {
  try {
    const { first } = await client.call('journal.info', {});
    await client.call('journal.page', { from: first, count: LINK_LIMITS.pageEntries });
    return true;
  } catch (error) {
    if (!(error instanceof LinkError)) throw error;
    return false;
  }
}

async function judged(client: Client, other: Client): Promise<Finding> {
  const [{ boardId }, { boardId: otherId }] = [client.hello, other.hello];
  if (otherId !== boardId)
    return wrong(
      'doors',
      `At ${client.port} answers board ${boardId}, and at ${other.port} board ${otherId}: these are two boards.`,
      `Put the adapter on J8 of the board that is at ${client.port}, or give its own port: --uart.`,
    );
  if (await carriesPage(other))
    return good('doors', `Board ${boardId} answers at both doors: ${client.port}, ${other.port}.`);
  return wrong(
    'doors',
    `Board ${boardId} answers at ${other.port}, and its long answers do not come through.`,
    "GND of the adapter on GND of J8, a shorter cable, and away from the mat's and the pump's wires.",
  );
}

/** The same board must answer at both. */
export async function tryDoors(trial: Trial): Promise<Finding[]> {
  const { context, client, setup } = trial;
  const port = setup.uartPort ?? (await otherDoor(trial));
  if (port === null)
    return [
      untried(
        'doors',
        `The board answers at ${client.port}. Its other door was neither named nor found.`,
        'With a 3.3 V adapter on the service header: trayward board check --only doors --uart PORT',
      ),
    ];
  let other: Client;
  try {
    other = await context.world.connect(port);
  } catch (error) {
    if (!(error instanceof LinkError)) throw error;
    return [unanswered(port, client, error)];
  }
  try {
    return [await judged(client, other)];
  } finally {
    await other.close();
  }
}
