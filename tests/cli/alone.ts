/** The program in this process, with no controller to talk to. */
import { PassThrough } from 'node:stream';
import { main } from '../../cli/main';

export interface Said {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs a command that needs no controller; one that asks for any fails. */
export async function trayward(...words: string[]): Promise<Said> {
  let out = '';
  let err = '';
  const nobody = (): Promise<never> => Promise.reject(new Error('no controller is needed here'));
  const code = await main(words, {
    stdout: { write: (text) => (out += text) },
    stderr: { write: (text) => (err += text) },
    stdin: new PassThrough(),
    env: {},
    now: () => 0,
    nowAt: async () => 0,
    sleep: async () => {},
    connect: nobody,
    findControllers: nobody,
    interrupt: new AbortController().signal,
  });
  return { code, out, err };
}

/** What `trayward WORDS --help` prints. */
export async function helpOf(...words: string[]): Promise<string> {
  return (await trayward(...words, '--help')).out;
}

/** Names in the list of commands of a help text. */
export const commandsIn = (help: string): string[] =>
  [...(/\nCommands:\n((?: .*\n)*)/.exec(help)?.[1] ?? '').matchAll(/^ {2}([a-z]+)\b/gm)].map(
    ([, name = '']) => name,
  );
