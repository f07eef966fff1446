/** Plants the bug that the environment names, while a file is read: nothing on the disk is changed. */
import { resolve } from 'node:path';
import type { Plugin } from 'vitest/config';
import { type PlantedBug, timesIn } from './bug.js';

export const BUG_VARIABLE = 'TRAYWARD_PLANTED_BUG';

type Change = Pick<PlantedBug, 'file' | 'find' | 'replace'>;

/** The source with the bug in it. */
function planted(source: string, { file, find, replace }: Change): string {
  if (timesIn(source, find) !== 1) throw new Error(`${file} does not have this once: ${find}`);
  return source.replace(find, () => replace);
}

/** Before anything else has changed the source. */
export function plantBug(text = process.env[BUG_VARIABLE]): Plugin {
  const bug = text === undefined ? null : (JSON.parse(text) as Change);
  const path = bug === null ? null : resolve(bug.file);
  return {
    name: 'planted-bug',
    enforce: 'pre',
    transform: (code, id) =>
      bug !== null && id.split('?')[0] === path ? { code: planted(code, bug), map: null } : null,
  };
}
