/** The program on 1 December 2026, with a store of each test's own and no board in sight. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach } from 'vitest';
import { runIn, type Said, worldOf } from './worlds';

export const told = (text: string): string => text.replace(/\s+/g, ' ');
export const noon = (year: number, month: number, date: number): number =>
  new Date(year, month - 1, date, 12).getTime();

let folder = '';

/** Called at the top of a file of tests: each has a place of its own. */
export function eachInItsPlace(): void {
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'trayward-plan-'));
  });
  afterEach(() => rmSync(folder, { recursive: true }));
}

export const at = (name: string): string => join(folder, name);
export const world = (nowMs: number) =>
  worldOf({
    now: () => nowMs,
    env: { TRAYWARD_STORE: at('store') },
    findControllers: async () => [],
  });
export const trayward = (...words: string[]): Promise<Said> =>
  runIn(world(noon(2026, 12, 1)), words);
export const resultOf = async (...words: string[]) => {
  const { stdout } = await trayward('--json', ...words);
  const { ok, result, error } = JSON.parse(stdout);
  if (!ok) throw new Error(error.message);
  return result;
};

export const PEPPER = [
  'plan',
  'pepper',
  '--ready',
  '2027-03-20',
  '--plants',
  '60',
  '--germination',
  '85%',
];
