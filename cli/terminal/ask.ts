/** Prompts by node:readline, on stderr so that stdout stays the result. */
import { usage } from '../failure';
import { widthFor, wrap } from './output';
import type { Ask, Source, Terminal } from './streams';

/** A terminal that gives nothing for so long has given all that was typed. */
const QUIET_MS = 30;
const CTRL_C = '\x03';

/** Reads and drops what was typed before a question was there: an Enter too many must not start a pump. */
function dropTyped(stdin: Source): Promise<void> {
  return new Promise((resolve) => {
    let timer = setTimeout(end, QUIET_MS);
    const drop = (typed: Buffer | string): void => {
      // The system makes no signal of it meanwhile.
      if (String(typed).includes(CTRL_C)) process.kill(process.pid, 'SIGINT');
      clearTimeout(timer);
      timer = setTimeout(end, QUIET_MS);
    };
    function end(): void {
      stdin.off('data', drop);
      stdin.pause();
      stdin.setRawMode?.(false);
      resolve();
    }
    stdin.setRawMode?.(true);
    stdin.on('data', drop);
    stdin.resume();
  });
}

/** Asks a person at the terminal; refuses with advice where there is none. */
export function createAsk(terminal: Terminal, json: boolean): Ask {
  const possible = !json && terminal.stdin.isTTY === true && terminal.stderr.isTTY === true;

  async function line(question: string, flag: string): Promise<string> {
    if (!possible) {
      throw usage(
        `This asks a question, and nobody is at the terminal to answer it: ${question.replace(' [y/n]', '').trim()}`,
        `Give the answer with ${flag}, or run the command in a terminal.`,
        'needs-an-answer',
      );
    }
    const { createInterface } = await import('node:readline/promises');
    await dropTyped(terminal.stdin);
    terminal.stderr.write(wrap(question, widthFor(terminal.stderr.columns)));
    const reader = createInterface({ input: terminal.stdin, terminal: false });
    try {
      return await new Promise<string>((resolve, reject) => {
        reader.once('line', resolve);
        reader.once('close', () =>
          reject(usage('The answer never came.', `Give it with ${flag}.`, 'needs-an-answer')),
        );
      });
    } finally {
      reader.close();
    }
  }

  return {
    possible,
    line: async (question, flag) => (await line(`${question} `, flag)).trim(),
    async pause(text) {
      await line(`${text} Then press Enter. `, '--yes');
    },
    async confirm(question, flag = '--yes') {
      for (;;) {
        const answer = (await line(`${question} [y/n] `, flag)).trim().toLowerCase();
        if (answer === 'y' || answer === 'yes') return true;
        if (answer === 'n' || answer === 'no' || answer === '') return false;
      }
    },
  };
}
