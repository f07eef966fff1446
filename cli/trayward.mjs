#!/usr/bin/env node
/**
 * What `trayward` is on the path: starts the program, or says how it is built. It is there before the first build too:
 * npx remembers for good that a command was not there. Plain Node, for it runs as it lies here.
 */
import { existsSync } from 'node:fs';

const program = new URL('../dist/trayward.mjs', import.meta.url);
if (existsSync(program)) await import(program.href);
else {
  process.stderr.write(
    'Not done: trayward is not built yet.\n  In the folder that it was cloned into: npm run build\n',
  );
  process.exitCode = 1;
}
