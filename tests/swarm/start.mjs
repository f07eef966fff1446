/** `npm run swarm`: bundles the command, and runs it. Plain Node, because Node 20 reads no types. */
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

process.chdir(fileURLToPath(new URL('../..', import.meta.url)));
const outfile = 'dist/swarm.cjs';
await build({
  entryPoints: ['tests/swarm/command.ts'],
  outfile,
  bundle: true,
  platform: 'node',
  target: 'node20',
  format: 'cjs',
  loader: { '.yaml': 'text' },
  external: ['esbuild'],
  logLevel: 'warning',
});
await import(`../../${outfile}`);
