/** What the demo shows of a command: how it is typed, what it says on its way, and its answer. */
import type { ChildProcess } from 'node:child_process';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';

/** What every shell takes for one word as it stands. */
const PLAIN = /^[\w./:=+-]+$/;

/** A command line as a person types it: what a shell would take apart is quoted. */
export function typed(words: readonly string[]): string {
  return words.map((word) => (PLAIN.test(word) ? word : `"${word}"`)).join(' ');
}

/**
 * Writes what a running command says on its way, indented, then its answer; resolves with its exit code. The answer
 * waits: two pipes have no order between them. `heard` is called with every line said on the way.
 */
export function show(
  child: ChildProcess & { readonly stdout: Readable; readonly stderr: Readable },
  write: (text: string) => void,
  heard: (line: string) => void,
): Promise<number> {
  let answer = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    answer += text;
  });
  createInterface({ input: child.stderr }).on('line', (line) => {
    write(line === '' ? '\n' : `  ${line}\n`);
    heard(line);
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => {
      write(answer);
      resolve(code ?? 1);
    });
  });
}
