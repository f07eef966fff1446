/**
 * Builds the laptop tool `dist/trayward.mjs`, its parts beside it in `parts/`, of which a command loads those it needs,
 * and what `npm run` starts, one file each. `serialport` stays outside, because its native part cannot be bundled; it is
 * loaded only when a port is opened.
 * With an argument, builds into that folder of the clone instead: `node cli/build.mjs dist/trial`; with `--alone` after it,
 * nothing of older builds stays there.
 */
import { chmod, readdir, rm, stat } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { cropFiles } from './crop-files.mjs';
import { KEEPER_SCRIPTS, keeperScripts } from './keep/page/browser/scripts.mjs';
import { PAGE_SCRIPT, pageScript } from './report/zoom/script.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));

const [folder = 'dist', alone] = process.argv.slice(2);

const oneFileEach = {
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

/** Parts of older builds stay for so long: a keeper that runs may still load one. */
const PARTS_KEPT_MS = 60 * 86_400_000;

const options = {
  absWorkingDir: root,
  bundle: true,
  minify: true,
  platform: 'node',
  target: 'node20',
  loader: { '.yaml': 'text', '.proto': 'text' },
  plugins: [cropFiles, pageScriptAsText, keeperScriptsAsText],
  external: ['serialport', 'esbuild'],
  logLevel: 'warning',
};

/** `built`: the files of this build, by their path in the clone. */
async function removeOldParts(built) {
  const oldest = Date.now() - (alone === '--alone' ? 0 : PARTS_KEPT_MS);
  for (const name of await readdir(`${root}${folder}/parts`)) {
    const path = `${folder}/parts/${name}`;
    if (!built.has(path) && (await stat(root + path)).mtimeMs < oldest) await rm(root + path);
  }
}

for (const [name, entry] of Object.entries(oneFileEach)) {
  const outfile = `${root}${folder}/${name}.cjs`;
  const banner = { js: '#!/usr/bin/env node' };
  await build({ ...options, entryPoints: [entry], outfile, format: 'cjs', banner });
  await chmod(outfile, 0o755);
}

// Last: by its age `setup.mjs` sees whether all of them are current.
const { metafile } = await build({
  ...options,
  metafile: true,
  entryPoints: ['cli/trayward.ts'],
  outdir: `${root}${folder}`,
  outExtension: { '.js': '.mjs' },
  chunkNames: 'parts/[name]-[hash]',
  format: 'esm',
  splitting: true,
  // Packages that are CommonJS ask for Node's own modules by this.
  banner: {
    js: "import{createRequire as requireFrom}from'node:module';const require=requireFrom(import.meta.url);",
  },
});
await chmod(`${root}${folder}/trayward.mjs`, 0o755);
await removeOldParts(new Set(Object.keys(metafile.outputs)));
