#!/usr/bin/env node
/** The executable: gives `main` the real world; or, started as a thread, works for the one that started it. */
import { fileURLToPath } from 'node:url';
import { isMainThread } from 'node:worker_threads';
import { createTime } from './bench/time';
import { EXIT_CODES } from './failure';
import type { Client } from './link/client';
import { main } from './main';

const abort = new AbortController();
/** While a pager shows, Ctrl-C is its own: it ends a search there. */
let paging = false;
/** Exit code where not all of the output could be written: a reader who has seen enough is no error. */
function unwritten(code: number): number {
  const { errored } = process.stdout;
  // `trayward journal show | head`
  if (errored === null || ('code' in errored && errored.code === 'EPIPE')) return code;
  process.stderr.write(`Not done: the output could not be written (${errored.message}).\n`);
  return EXIT_CODES.refused;
}

const time = createTime(Date.now);

async function connect(port: string): Promise<Client> {
  const { connectWithFactor } = await import('./link/timeouts');
  return connectWithFactor(port, process.env.TRAYWARD_TIMEOUT_FACTOR ?? '1', time.elapsedMs);
}

async function page(text: string): Promise<boolean> {
  const pager = await import('./terminal/pager');
  paging = true;
  try {
    return await pager.page(text, process.env);
  } finally {
    paging = false;
  }
}

function run(): void {
  process.on('SIGINT', () => {
    if (paging) return;
    // A second Ctrl-C does not wait for the clean-up.
    if (abort.signal.aborted) process.exit(130);
    abort.abort();
  });
  process.stdout.on('error', () => process.exit(unwritten(EXIT_CODES.done)));
  void main(process.argv.slice(2), {
    stdout: process.stdout,
    stderr: process.stderr,
    stdin: process.stdin,
    env: process.env,
    now: Date.now,
    nowAt: time.nowAt,
    sleep: time.sleep,
    pause: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
    page,
    connect,
    findControllers: async () => (await import('./link/find')).findControllers(),
    script: fileURLToPath(import.meta.url),
    interrupt: abort.signal,
  }).then((code) => {
    // Work abandoned at Ctrl-C may still hold the process; what was written must get out first.
    process.stdout.write('', () => process.exit(process.stdout.errored ? unwritten(code) : code));
  });
}

if (isMainThread) run();
else void import('./rehearse/worker');
