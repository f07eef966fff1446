/**
 * Builds the laptop tool: one file, `dist/trayward.cjs`. `serialport` stays outside, because its
 * native part cannot be bundled; it is loaded only when a serial port is opened.
 */
import { chmod } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('..', import.meta.url));
const outfile = `${root}dist/trayward.cjs`;

await build({
  absWorkingDir: root,
  entryPoints: ['cli/trayward.ts'],
  outfile,
  bundle: true,
  minify: true,
  platform: 'node',
  target: 'node20',
  format: 'cjs',
  external: ['serialport'],
  banner: { js: '#!/usr/bin/env node' },
  logLevel: 'warning',
});
await chmod(outfile, 0o755);
