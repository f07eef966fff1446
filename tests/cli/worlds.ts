/** Worlds to run the program in, within the test's own process. */
import { PassThrough } from 'node:stream';
import type { World } from '../../cli/context';
import { type Client, LinkError } from '../../cli/link/client';
import { main } from '../../cli/main';
import { takesToken } from '../../shared/link/params';
import type { Grower } from '../simulation/grower';

/** A world that says nothing, waits for nothing and has no controller, but for `changes`. */
export function worldOf(changes: Partial<World>): World {
  const nobody = (): Promise<never> => Promise.reject(new Error('no controller is needed here'));
  return {
    stdout: { write() {} },
    stderr: { write() {} },
    stdin: new PassThrough(),
    env: {},
    now: () => 0,
    nowAt: async () => 0,
    sleep: async () => {},
    pause: async () => {},
    connect: nobody,
    page: async () => false,
    findControllers: nobody,
    script: null,
    interrupt: new AbortController().signal,
    ...changes,
  };
}

/** The controller of a bench, without a line in between. */
export function clientOf(grower: Grower): Client {
  return {
    port: 'bench',
    hello: grower.call('controller.hello', {}, false),
    async call(method, params) {
      try {
        return grower.call(method, params, takesToken(method));
      } catch (error) {
        // The grower hears the board's own sentence; that a board says nothing is nobody's refusal.
        const { message } = Object(error);
        throw /^no (reply|result)/.test(message) ? error : new LinkError('refused', message);
      }
    },
    close: async () => {},
  };
}

/** The world of a bench: its time passes while the program waits. */
export function worldAt(grower: Grower, changes: Partial<World>, client = clientOf(grower)): World {
  return worldOf({
    now: () => grower.bench.unixMs,
    nowAt: async () => grower.bench.unixMs,
    sleep: async (ms) => grower.bench.run(ms),
    connect: async () => client,
    findControllers: async () => [{ port: client.port, hello: client.hello }],
    ...changes,
  });
}

export interface Said {
  readonly code: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a command in a world, and keeps what it says. `heard`: told each thing said on stderr. */
export async function runIn(
  world: World,
  words: readonly string[],
  heard: (text: string) => void = () => {},
): Promise<Said> {
  let stdout = '';
  let stderr = '';
  const code = await main(words, {
    ...world,
    stdout: { write: (text) => (stdout += text) },
    stderr: {
      write(text) {
        stderr += text;
        heard(text);
      },
    },
  });
  return { code, stdout, stderr };
}

/** Runs a command that needs no controller; one that asks for any fails. */
export const trayward = (...words: string[]): Promise<Said> => runIn(worldOf({}), words);

/** What `trayward WORDS --help` prints. */
export async function helpOf(...words: string[]): Promise<string> {
  return (await trayward(...words, '--help')).stdout;
}

/** Names in the list of commands of a help text. */
export const commandsIn = (help: string): string[] =>
  [...(/\nCommands:\n((?: .*\n)*)/.exec(help)?.[1] ?? '').matchAll(/^ {2}([a-z]+)\b/gm)].map(
    ([, name = '']) => name,
  );
