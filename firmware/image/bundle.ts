/** The firmware's TypeScript as one classic script for the board's engine. */
import { writeFile } from 'node:fs/promises';
import { build } from 'esbuild';

/**
 * Bundles `entry` into one function, whose names the engine finds by place; names at the top of a
 * script it would look up one by one, at every use. Size of the script, bytes.
 */
export async function bundleScript(entry: string, outfile: string): Promise<number> {
  const { outputFiles } = await build({
    entryPoints: [entry],
    bundle: true,
    format: 'iife',
    target: 'es2022',
    platform: 'neutral',
    minify: true,
    charset: 'utf8',
    legalComments: 'none',
    banner: { js: '"use strict";' },
    write: false,
    logLevel: 'silent',
  });
  const text = outputFiles[0]?.text ?? '';
  await writeFile(outfile, text);
  return Buffer.byteLength(text);
}
