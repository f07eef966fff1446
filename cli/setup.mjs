/**
 * Makes a clone ready: installs the packages when they are missing or older than the lock file, and
 * builds when a source is newer than the program. Plain Node, because nothing else is there yet.
 * With arguments, runs that built program afterwards: `node cli/setup.mjs dist/demo.cjs`; with `--build` it builds
 * whatever the sources' age.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, lstatSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const changedMs = (path) => (existsSync(join(root, path)) ? statSync(join(root, path)).mtimeMs : 0);

function newestMs(folder) {
  let newest = 0;
  for (const entry of readdirSync(join(root, folder), { withFileTypes: true })) {
    const path = `${folder}/${entry.name}`;
    newest = Math.max(newest, entry.isDirectory() ? newestMs(path) : changedMs(path));
  }
  return newest;
}

function run(what, command, args) {
  console.log(what);
  const windows = process.platform === 'win32';
  const { status, error } = spawnSync(command, args, {
    cwd: root,
    stdio: 'inherit',
    shell: windows,
  });
  if (status === 0) return;
  console.error(`${command} ${args.join(' ')} failed${error ? `: ${error.message}` : ''}.`);
  process.exit(status ?? 1);
}

const [major] = process.versions.node.split('.').map(Number);
if (major < 20) {
  console.error(`Trayward needs Node 20 or later; this is ${process.version}.`);
  process.exit(1);
}
// Packages that another checkout lends are its own affair: npm ci would empty its folder.
const lent = lstatSync(join(root, 'node_modules'), { throwIfNoEntry: false })?.isSymbolicLink();
if (!lent && changedMs('node_modules/.package-lock.json') < changedMs('package-lock.json')) {
  run('Installing the packages that are missing (npm ci) ...', 'npm', [
    'ci',
    '--no-audit',
    '--no-fund',
  ]);
}
const sources = ['cli', 'firmware', 'shared', 'hardware', 'tests/swarm'].map(newestMs);
const [program, ...args] = process.argv.slice(2);
const isBuild = program === '--build';
if (isBuild || changedMs('dist/trayward.mjs') < Math.max(...sources, changedMs('package.json'))) {
  run('Building the program ...', process.execPath, ['cli/build.mjs']);
}
if (program !== undefined && !isBuild) {
  const { status } = spawnSync(process.execPath, [join(root, program), ...args], {
    cwd: root,
    stdio: 'inherit',
  });
  process.exit(status ?? 1);
}
