/** The firmware's TypeScript as one classic script for the board's engine. */
import { writeFile } from 'node:fs/promises';
import { build } from 'esbuild';

/**
 * Bundles `entry`. Top-level names stay top-level: wrapped in a function they would each take a place
 * on the engine's stack. Size of the script, bytes.
 */
export async function bundleScript(entry: string, outfile: string): Promise<number> {
  const { outputFiles } = await build({
    entryPoints: [entry],
    bundle: true,
    // Without exports this is a plain script whose bindings are the script's own.
    format: 'esm',
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
