/** The page that the demo writes: headings, commands as they are typed, and what happens beside them. */
import { wrap } from '../terminal/output';
import { typed } from './shown';

/** Columns of a heading's words: with its mark it is as wide as the program's own texts. */
const WIDTH = 78;

export class Page {
  /** A command has answered, and nothing was written since. */
  #answered = false;

  constructor(readonly write: (text: string) => void) {}

  /** What happens next. */
  heading(text: string): void {
    this.#answered = false;
    this.write(`\n${wrap(text, WIDTH).replace(/^/gm, '# ')}\n`);
  }

  /** A command of the program; what it says and answers follows. */
  command(words: readonly string[], after = ''): void {
    this.#answered = false;
    this.write(`\n$ ${typed(['trayward', ...words])}${after}\n`);
  }

  answered(): void {
    this.#answered = true;
  }

  /** Hands, faults and time: at once below a heading or within a command, apart from an answer. */
  aside(line: string): void {
    this.write(`${this.#answered ? '\n' : ''}  ${line}\n`);
    this.#answered = false;
  }
}
