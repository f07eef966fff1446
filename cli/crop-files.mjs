/**
 * Hands the program its crop library: every YAML file of `shared/crops/library/`, parsed, as the module
 * `trayward:crop-files`. So a crop is added by adding its file, and no program parses YAML to know it.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'yaml';

const NAME = 'trayward:crop-files';
/** From the root of the clone. */
const LIBRARY = 'shared/crops/library';

/** The crop files of a folder by name, parsed. */
export function readCropFiles(folder = LIBRARY) {
  const names = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
  return Object.fromEntries(
    names.sort().map((name) => [name, parse(readFileSync(join(folder, name), 'utf8'))]),
  );
}

/** For esbuild. */
export const cropFiles = {
  name: 'crop-files',
  setup({ initialOptions, onResolve, onLoad }) {
    const folder = join(initialOptions.absWorkingDir ?? '', LIBRARY);
    onResolve({ filter: /^trayward:crop-files$/ }, ({ path }) => ({ path, namespace: 'crops' }));
    onLoad({ filter: /.*/, namespace: 'crops' }, () => ({
      contents: JSON.stringify(readCropFiles(folder)),
      loader: 'json',
    }));
  },
};

/** For Vitest. */
export const cropFilesInTests = {
  name: 'crop-files',
  enforce: 'pre',
  resolveId: (id) => (id === NAME ? `\0${NAME}` : null),
  load: (id) => (id === `\0${NAME}` ? `export default ${JSON.stringify(readCropFiles())};` : null),
};
