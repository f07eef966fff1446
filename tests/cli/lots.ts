/** Lots of seed in a store of each test's own, and what is said of them. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach } from 'vitest';
import { DAY_MS } from '../../shared/units/time';
import { runIn, worldOf } from './worlds';

export const told = (text: string): string => text.replace(/\s+/g, ' ');
/** When the lots are sown. */
export const NOON = Date.parse('2026-03-10T12:00Z');
export const SOWN = ['--sown', '2026-03-10T12:00Z'];

let folder = '';
/** The store of the test that runs. */
export const store = (): string => folder;

/** Makes a store before each test of a file, and takes it away behind it. */
export function withStore(): void {
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'trayward seed '));
  });
  afterEach(() => {
    rmSync(folder, { recursive: true });
  });
}

/** A count, or a list of them, of a lot on `day` after its sowing. */
export async function lot(day: number, ...words: string[]) {
  const world = worldOf({ now: () => NOON + day * DAY_MS, env: { TRAYWARD_STORE: store() } });
  const { code, stdout, stderr } = await runIn(world, ['seed', ...words, '--lot', 'basil']);
  return { code, stdout, said: told(stdout + stderr) };
}
