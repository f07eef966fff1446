import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import { cropFilesInTests } from './cli/crop-files.mjs';
import { KEEPER_SCRIPTS, keeperScripts } from './cli/keep/page/browser/scripts.mjs';
import { PAGE_SCRIPT, pageScript } from './cli/report/zoom/script.mjs';
import { constantImports } from './tests/constant-imports.js';
import { FileOrder } from './tests/file-order.js';
import { plantBug } from './tests/planted/plant.js';

/** As `cli/build.mjs` bundles them. */
const filesAsText = {
  name: 'files-as-text',
  enforce: 'pre',
  transform: (text: string, id: string) =>
    /\.(yaml|proto)$/.test(id)
      ? { code: `export default ${JSON.stringify(text)};`, map: null }
      : null,
} as const;

const pageScriptAsText = {
  name: 'page-script',
  resolveId: (id: string) => (PAGE_SCRIPT.test(id) ? `\0${id}` : null),
  load: async (id: string) =>
    PAGE_SCRIPT.test(id.slice(1)) ? `export default ${JSON.stringify(await pageScript())};` : null,
} as const;

const keeperScriptsAsText = {
  name: 'keeper-scripts',
  resolveId: (id: string) => (KEEPER_SCRIPTS.test(id) ? `\0${id}` : null),
  load: async (id: string) =>
    KEEPER_SCRIPTS.test(id.slice(1))
      ? `export default ${JSON.stringify(await keeperScripts())};`
      : null,
} as const;

export default defineConfig({
  plugins: [
    plantBug(),
    filesAsText,
    cropFilesInTests,
    pageScriptAsText,
    keeperScriptsAsText,
    constantImports,
  ],
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: ['tests/global-setup.ts'],
    setupFiles: ['tests/equal-bytes.ts'],
    sequence: { sequencer: FileOrder },
    // One more would fill the waits for browsers and servers, but each translates and builds for itself.
    maxWorkers: availableParallelism(),
    // A worker goes from file to file and keeps what it has loaded, translated and built.
    pool: 'forks',
    isolate: false,
    // A property test may replay hours of simulated time; nothing here waits on the wall clock.
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
