/** The number of the last session, on disk: a death that a broker tells late then never ends a newer session. */
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { writeOver } from '../../../files/atomic-write';
import { makeFolder } from '../../../files/folder';

export class SessionNumber {
  readonly #path: string;

  /** `folder` is the keeper's own. */
  constructor(folder: string) {
    this.#path = join(folder, 'sparkplug-session');
  }

  /** Null where none is kept, or none can be read. */
  read(): number | null {
    try {
      const number = Number(readFileSync(this.#path, 'utf8').trim() || Number.NaN);
      return Number.isInteger(number) && number >= 0 && number <= 255 ? number : null;
    } catch {
      return null;
    }
  }

  /** The system's code where it cannot be written: the session goes on all the same. */
  write(number: number): string | null {
    try {
      makeFolder(dirname(this.#path));
      writeOver(this.#path, `${number}\n`);
      return null;
    } catch (error) {
      return String(Object(error).code);
    }
  }
}
