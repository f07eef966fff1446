/** A folder of each test's own, with an image of this version to put on a board. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach } from 'vitest';
import { withBootStageCrc } from '../../firmware/bench/chip/boot-stage';
import { version } from '../../package.json';
import { toUf2 } from '../../shared/board/uf2';

export const IMAGE = withBootStageCrc(new Uint8Array(20_000).fill(7));

export class UpdateFolder {
  #path = '';

  /** Made before each test of the file, and gone after it. */
  constructor() {
    beforeEach(() => {
      this.#path = mkdtempSync(join(tmpdir(), 'trayward-update-'));
      writeFileSync(this.image, toUf2(IMAGE, version));
    });
    afterEach(() => rmSync(this.#path, { recursive: true }));
  }

  at(name: string): string {
    return join(this.#path, name);
  }
  get image(): string {
    return this.at('trayward.uf2');
  }
  /** Where a board's drive would appear. */
  get drive(): string {
    return this.at('drive');
  }
}
