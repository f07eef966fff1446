/** The controller of one command: found, connected once, its clock set, and reached again when its line was lost. */
import type { World } from './context';
import { CommandError } from './failure';
import { type Client, LinkError } from './link/client';

/** The controller's clock is set when it is off by more than this: each setting costs a journal entry. */
const CLOCK_TOLERANCE_MS = 2_000;

/** What Linux and macOS call a serial port of USB's own class, rather than an adapter. */
const OWN_PORT = /ttyACM|usbmodem/;

/** The port given, or that of the only controller found. */
async function choosePort(world: World, port: string | null): Promise<string> {
  if (port !== null) return port;
  const found = await world.findControllers();
  const [only, ...others] = found;
  if (only === undefined) {
    throw new CommandError(
      'no-controller',
      'none-found',
      'No controller was found on any serial port.',
      'Check the cable and the power, or name the port: --port /dev/ttyACM0, --port COM3, --port tcp://127.0.0.1:PORT (a bench).',
    );
  }
  // One board at both of its doors: over USB it can do all.
  const own = found.find(({ port }) => OWN_PORT.test(port));
  if (own && found.every(({ hello }) => hello.boardId === own.hello.boardId)) return own.port;
  if (others.length > 0) {
    throw new CommandError(
      'usage',
      'several-found',
      `There are ${found.length} controllers: ${found.map((one) => one.port).join(', ')}.`,
      'Say which one with --port.',
    );
  }
  return only.port;
}

/** Sets the controller's clock to that of its place, where it is off or was never set. */
export async function setClock(client: Client, world: Pick<World, 'nowAt'>): Promise<void> {
  const { unixMs } = client.hello;
  const now = await world.nowAt(client.port);
  if (unixMs !== null && Math.abs(unixMs - now) <= CLOCK_TOLERANCE_MS) return;
  await client.call('clock.set', { unixMs: Math.round(now) });
}

/** The connection of one command, made when it is first asked for. */
export class Connection {
  /** Whether a controller has answered. */
  reached = false;
  #opening: Promise<Client> | null = null;
  /** The line in use. */
  #line: Client | null = null;

  constructor(
    private readonly world: World,
    private readonly port: string | null,
  ) {}

  /** The controller, connected at the first call. Throws `LinkError` and `CommandError`. */
  client(): Promise<Client> {
    this.#opening ??= this.#open();
    return this.#opening;
  }

  /** The same controller over a new line. Throws `LinkError`, `not-ours` when another one answers. */
  async again(): Promise<Client> {
    const before = this.#line ?? (await this.client());
    await before.close();
    const client = await this.world.connect(before.port);
    const { boardId } = client.hello;
    if (boardId === before.hello.boardId) {
      this.#line = client;
      await setClock(client, this.world);
      return client;
    }
    await client.close();
    throw new LinkError('not-ours', `Another controller, ${boardId}, answers there now.`);
  }

  async close(): Promise<void> {
    await this.#line?.close();
  }

  async #open(): Promise<Client> {
    const client = await this.world.connect(await choosePort(this.world, this.port));
    this.reached = true;
    this.#line = client;
    await setClock(client, this.world);
    return client;
  }
}
