/** `npm run bench`: speed and size, measured now on this machine, as a table. Nothing is asserted. */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { buildSync } from 'esbuild';
import { createBench } from '../firmware/bench/bench';

const DAY_MS = 86_400_000;
const DAYS = 30;
const STARTS = 7;

interface Row {
  readonly what: string;
  readonly value: string;
  readonly goal: string;
}

function median(values: number[]): number {
  return values.sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
}

function startMs(args: readonly string[]): number {
  const times = Array.from({ length: STARTS }, () => {
    const from = performance.now();
    spawnSync(process.execPath, args, { stdio: 'ignore' });
    return performance.now() - from;
  });
  return median(times);
}

function simulation(): Row {
  const bench = createBench({ seed: 1 });
  bench.hand.putTray();
  bench.run(3_600_000);
  const from = performance.now();
  bench.run(DAYS * DAY_MS);
  const s = (performance.now() - from) / 1000;
  const times = Math.round((DAYS * 86_400) / s / 1000);
  return {
    what: `${DAYS} simulated days, firmware and plant at 1 s ticks, idle tray`,
    value: `${s.toFixed(2)} s (${times},000 times real time)`,
    goal: 'under 3 s',
  };
}

function start(): Row {
  const bare = startMs(['-e', '0']);
  const help = startMs([join(__dirname, 'trayward.cjs'), '--help']);
  return {
    what: 'start of the program (--help), against `node -e 0`',
    value: `${(help / bare).toFixed(2)} times (${help.toFixed(0)} ms, ${bare.toFixed(0)} ms)`,
    goal: 'at most 2 times',
  };
}

function size(): Row {
  const { outputFiles } = buildSync({
    entryPoints: ['firmware/main.ts'],
    bundle: true,
    minify: true,
    write: false,
    platform: 'neutral',
    target: 'es2022',
    format: 'iife',
  });
  const kb = (outputFiles[0]?.contents.length ?? 0) / 1024;
  return { what: 'firmware bundle, minified', value: `${kb.toFixed(1)} KB`, goal: 'under 48 KB' };
}

for (const { what, value, goal } of [simulation(), start(), size()]) {
  process.stdout.write(`${what.padEnd(64)} ${value.padEnd(36)} goal: ${goal}\n`);
}
