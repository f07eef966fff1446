/** One run of one command: builds its context, keeps the connection, and cleans up. */

import type { Answer, Context, Progress, Units, World } from './context';
import { asFailure, CommandError } from './failure';
import { type Client, LinkError } from './link/client';
import { createAsk } from './terminal/ask';
import { styleFor, widthFor, wrap } from './terminal/output';

/** Options every command has. */
export interface GlobalOptions {
  readonly json: boolean;
  readonly quiet: boolean;
  readonly units: Units;
  readonly port: string | null;
}

/** The controller's clock is set when it is off by more than this: each setting costs a journal entry. */
const CLOCK_TOLERANCE_MS = 2_000;

/** The port given, or that of the only controller found. */
export async function choosePort(world: World, port: string | null): Promise<string> {
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

async function setClock(client: Client, world: World): Promise<void> {
  const { unixMs } = client.hello;
  const now = await world.nowAt(client.port);
  if (unixMs !== null && Math.abs(unixMs - now) <= CLOCK_TOLERANCE_MS) return;
  await client.call('clock.set', { unixMs: Math.round(now) });
}

/** A context and the way to end it. */
export interface Session {
  readonly context: Context;
  /** Whether a controller answered during the session. */
  reached(): boolean;
  /** Whether the command ends by itself at Ctrl-C. */
  endsByInterrupt(): boolean;
  end(): Promise<void>;
}

export function openSession(world: World, options: GlobalOptions): Session {
  const endings: (() => void | Promise<void>)[] = [];
  let connecting: Promise<Client> | null = null;
  /** The line in use, to be closed at the end. */
  let line: Client | null = null;
  let reached = false;
  let endsByInterrupt = false;
  const silent = options.quiet || options.json;

  async function open(): Promise<Client> {
    const client = await world.connect(await choosePort(world, options.port));
    reached = true;
    line = client;
    endings.push(() => line?.close());
    await setClock(client, world);
    return client;
  }

  async function openAgain(before: Client): Promise<Client> {
    await before.close();
    const client = await world.connect(before.port);
    const { boardId } = client.hello;
    if (boardId === before.hello.boardId) {
      line = client;
      await setClock(client, world);
      return client;
    }
    await client.close();
    throw new LinkError('not-ours', `Another controller, ${boardId}, answers there now.`);
  }

  function tell(text: string): void {
    world.stderr.write(`${wrap(text, widthFor(world.stderr.columns))}\n`);
  }

  const context: Context = {
    ...options,
    get style() {
      return styleFor(world.stdout, world.env);
    },
    world,
    ask: createAsk(world, options.json),
    client() {
      connecting ??= open();
      return connecting;
    },
    async reconnect() {
      return openAgain(line ?? (await context.client()));
    },
    say(text) {
      if (!silent) tell(text);
    },
    instruct: tell,
    caution: (text) => tell(`Caution: ${text}`),
    async progress(label, total): Promise<Progress> {
      const { startProgress } = await import('./terminal/progress');
      const progress = startProgress(world.stderr, label, total, silent);
      endings.push(() => progress.stop());
      return progress;
    },
    atEnd(work) {
      endings.push(work);
    },
    untilInterrupt() {
      endsByInterrupt = true;
      if (world.interrupt.aborted) return Promise.resolve();
      return new Promise((resolve) => {
        world.interrupt.addEventListener('abort', () => resolve(), { once: true });
      });
    },
  };

  return {
    context,
    reached: () => reached,
    endsByInterrupt: () => endsByInterrupt,
    async end() {
      for (const work of endings.splice(0).reverse()) {
        try {
          await work();
        } catch {
          // The command's own outcome matters more than a connection that will not close.
        }
      }
    },
  };
}

/** Rejects at Ctrl-C, unless the command said that it ends by itself then. */
function interrupted(world: World, session: Session): Promise<never> {
  return new Promise((_, reject) => {
    const stop = (): void => {
      if (session.endsByInterrupt()) return;
      reject(
        new CommandError(
          'interrupted',
          'interrupted',
          'Stopped by Ctrl-C.',
          'What was already done stays done; a pump that ran is stopped, and an unfinished calibration changed nothing. Run the command again to go on.',
        ),
      );
    };
    if (world.interrupt.aborted) stop();
    world.interrupt.addEventListener('abort', stop, { once: true });
  });
}

/** Runs `work` in a session of its own, and cleans up however it ends. Throws `CommandError`. */
export async function runInSession(
  world: World,
  options: GlobalOptions,
  work: (context: Context) => Promise<Answer>,
): Promise<Answer> {
  const session = openSession(world, options);
  const stop = interrupted(world, session);
  try {
    return await Promise.race([work(session.context), stop]);
  } catch (error) {
    throw asFailure(error, session.reached(), options.units);
  } finally {
    await session.end();
  }
}
