/** What the keeper's pages run as text, for whoever bundles the program or tests it: builds within the build. */
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

/** What a module imports to have it. */
export const KEEPER_SCRIPTS = /^trayward:keeper-scripts$/;

/** Phones of some years ago know all of this; older ones are told that they are too old. */
const TARGET = 'es2020';

async function bundled(name) {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL(`${name}.ts`, import.meta.url))],
    bundle: true,
    minify: true,
    write: false,
    platform: 'browser',
    format: 'esm',
    target: TARGET,
    logLevel: 'warning',
  });
  return outputFiles[0].text;
}

export async function keeperScripts() {
  const [room, tray] = await Promise.all([bundled('room'), bundled('tray')]);
  return { room, tray };
}
