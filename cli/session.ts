/** One run of one command: builds its context, keeps the connection, and cleans up. */

import { asFailure } from './as-failure';
import { Connection } from './connection';
import type { Answer, Context, Units, World } from './context';
import { CommandError } from './failure';
import { createAsk } from './terminal/ask';
import { styleFor, widthFor, wrap } from './terminal/output';
import type { Progress } from './terminal/streams';

/** Options every command has. */
export interface GlobalOptions {
  readonly json: boolean;
  readonly quiet: boolean;
  readonly units: Units;
  readonly port: string | null;
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

/** What is to be done at the end of a command, last added first. */
class Endings {
  readonly #works: (() => void | Promise<void>)[] = [];

  add(work: () => void | Promise<void>): void {
    this.#works.push(work);
  }

  async run(): Promise<void> {
    for (const work of this.#works.splice(0).reverse()) {
      try {
        await work();
      } catch {
        // The command's own outcome matters more than a connection that will not close.
      }
    }
  }
}

/** The parts of a context that speak to people on stderr. */
function voice(world: World, silent: boolean, endings: Endings) {
  function tell(text: string): void {
    world.stderr.write(`${wrap(text, widthFor(world.stderr.columns))}\n`);
  }
  return {
    say(text: string): void {
      if (!silent) tell(text);
    },
    instruct: tell,
    caution: (text: string): void => tell(`Caution: ${text}`),
    async progress(label: string, total: number): Promise<Progress> {
      const { startProgress } = await import('./terminal/progress');
      const progress = startProgress(world.stderr, label, total, silent);
      endings.add(() => progress.stop());
      return progress;
    },
  };
}

export function openSession(world: World, options: GlobalOptions): Session {
  const endings = new Endings();
  const connection = new Connection(world, options.port);
  // Closed last: what else is done at the end may need it.
  endings.add(() => connection.close());
  let endsByInterrupt = false;
  const context: Context = {
    ...options,
    ...voice(world, options.quiet || options.json, endings),
    get style() {
      return styleFor(world.stdout, world.env);
    },
    world,
    ask: createAsk(world, options.json),
    client: () => connection.client(),
    reconnect: () => connection.again(),
    atEnd: (work) => endings.add(work),
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
    reached: () => connection.reached,
    endsByInterrupt: () => endsByInterrupt,
    end: () => endings.run(),
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
    throw asFailure(error, session.reached(), options.units).inUnits(options.units);
  } finally {
    await session.end();
  }
}
