/** The page's own script as text, for whoever bundles the program or tests it: a build within the build. */
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

/** What a module imports to have it. */
export const PAGE_SCRIPT = /^trayward:page-script$/;

export async function pageScript() {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL('report.ts', import.meta.url))],
    bundle: true,
    minify: true,
    write: false,
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
    logLevel: 'warning',
  });
  const [file] = outputFiles;
  // Nothing in it may end the block that it stands in.
  return file.text.trim().replaceAll('</', '<\\/').replaceAll('<!--', '<\\!--');
}
