/**
 * What tests run for simulated weeks as one script, as the program is shipped: twice as fast as in single modules. With a
 * bug planted, if any.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { build, type Plugin } from 'esbuild';
import { cropFiles } from '../cli/crop-files.mjs';
import { type PlantedBug, timesIn } from './planted/bug';

export type Bug = Pick<PlantedBug, 'sentence' | 'file' | 'find' | 'replace'>;

function planting({ file, find, replace }: Bug): Plugin {
  const path = resolve(file);
  return {
    name: 'planted-bug',
    setup: ({ onLoad }) => {
      onLoad({ filter: /\.ts$/ }, async (args) => {
        if (args.path !== path) return null;
        const source = await readFile(path, 'utf8');
        if (timesIn(source, find) !== 1)
          throw new Error(`${file} does not have this once: ${find}`);
        return { contents: source.replace(find, () => replace), loader: 'ts' };
      });
    },
  };
}

/** Writes `entry`, bundled, to `outfile`. Run from the root of the clone. */
export async function bundle(
  entry: string,
  outfile: string,
  bug: Bug | null = null,
): Promise<void> {
  await build({
    entryPoints: [entry],
    outfile,
    bundle: true,
    platform: 'node',
    target: 'node20',
    format: 'cjs',
    loader: { '.yaml': 'text' },
    external: ['esbuild'],
    plugins: bug === null ? [cropFiles] : [cropFiles, planting(bug)],
    logLevel: 'error',
  });
}

/** What `entry` exports, from such a script. */
export async function bundled<Entry>(entry: string): Promise<Entry> {
  const folder = mkdtempSync(join(tmpdir(), 'trayward-bundle-'));
  const outfile = join(folder, 'entry.cjs');
  try {
    await bundle(entry, outfile);
    return createRequire(outfile)(outfile);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
