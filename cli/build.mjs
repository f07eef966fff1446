/**
 * Builds the laptop tool, one file `dist/trayward.cjs`, and beside it what `npm run` starts. `serialport` stays
 * outside, because its native part cannot be bundled; it is loaded only when a port is opened.
 * With an argument, builds into that folder of the clone instead: `node cli/build.mjs dist/trial`.
 */
import { chmod } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { cropFiles } from './crop-files.mjs';
import { KEEPER_SCRIPTS, keeperScripts } from './keep/page/browser/scripts.mjs';
import { PAGE_SCRIPT, pageScript } from './report/zoom/script.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));

const folder = process.argv[2] ?? 'dist';

const programs = {
  trayward: 'cli/trayward.ts',
  demo: 'cli/demo.ts',
  figures: 'cli/figures.ts',
  image: 'firmware/image/command.ts',
  swarm: 'tests/swarm/command.ts',
};

/** What the report's page runs is a program of its own, bundled into the laptop's as text. */
const pageScriptAsText = {
  name: 'page-script',
  setup(builder) {
    builder.onResolve({ filter: PAGE_SCRIPT }, ({ path }) => ({ path, namespace: 'page-script' }));
    builder.onLoad({ filter: PAGE_SCRIPT, namespace: 'page-script' }, async () => ({
      contents: await pageScript(),
      loader: 'text',
    }));
  },
};

/** So are those of the keeper's pages. */
const keeperScriptsAsText = {
  name: 'keeper-scripts',
  setup(builder) {
    const namespace = 'keeper-scripts';
    builder.onResolve({ filter: KEEPER_SCRIPTS }, ({ path }) => ({ path, namespace }));
    builder.onLoad({ filter: KEEPER_SCRIPTS, namespace }, async () => ({
      contents: JSON.stringify(await keeperScripts()),
      loader: 'json',
    }));
  },
};

for (const [name, entry] of Object.entries(programs)) {
  const outfile = `${root}${folder}/${name}.cjs`;
  await build({
    absWorkingDir: root,
    entryPoints: [entry],
    outfile,
    bundle: true,
    minify: true,
    platform: 'node',
    target: 'node20',
    format: 'cjs',
    loader: { '.yaml': 'text', '.proto': 'text' },
    plugins: [cropFiles, pageScriptAsText, keeperScriptsAsText],
    external: ['serialport', 'esbuild'],
    banner: { js: '#!/usr/bin/env node' },
    logLevel: 'warning',
  });
  await chmod(outfile, 0o755);
}
