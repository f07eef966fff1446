/** Which benches run on this machine: each leaves a small file while it does. For Node only. */
import {
  chmodSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';
import * as z from 'zod';
import { isRunning } from './running';

export const benchSchema = z.object({
  pid: z.number().int().positive(),
  /** Address of the link, as `--port` takes it, and of the bench door. */
  link: z.string(),
  door: z.string(),
  /** Address of the second door of the link, UART0, if it has one of its own: the pty if that was wanted. */
  uart: z.string().nullable().describe('TCP, or the serial device of --pty-uart'),
  pty: z.string().nullable(),
  drive: z.string().nullable().describe('the folder of --drive'),
  boardId: z.string().describe('the number of its board, under which its journal is kept'),
  startedUnixMs: z.number(),
});

export type RunningBench = z.infer<typeof benchSchema>;

function folder(): string {
  return join(tmpdir(), `trayward-bench-${userInfo().username}`);
}

/** One process may hold several benches, each with a door of its own. */
const fileOf = (bench: RunningBench): string =>
  join(folder(), `${bench.pid}-${bench.door.replace(/^.*:/, '')}.json`);

/** Makes a bench known; returns what to call when it ends. */
export function announce(bench: RunningBench): () => void {
  mkdirSync(folder(), { recursive: true });
  chmodSync(folder(), 0o700);
  // In one step: who looks just now must not take half a file for that of a dead bench.
  const part = `${fileOf(bench)}.part`;
  writeFileSync(part, `${JSON.stringify(bench)}\n`, { mode: 0o600 });
  renameSync(part, fileOf(bench));
  return () => rmSync(fileOf(bench), { force: true });
}

/** Benches that run now, newest first. Files of dead ones are removed. */
export function runningBenches(): readonly RunningBench[] {
  const running: RunningBench[] = [];
  for (const name of listFolder()) {
    const bench = readBench(join(folder(), name));
    if (bench !== null && isRunning(bench.pid)) running.push(bench);
    else rmSync(join(folder(), name), { force: true });
  }
  return running.sort((a, b) => b.startedUnixMs - a.startedUnixMs);
}

/** What a bench is called by in `--bench`: the number of its link's port, or the path of its serial device. */
export const benchName = ({ link }: RunningBench): string => link.replace(/^tcp:.*:/, '');

/** Whether `named`, as written after `--bench`, is this bench: its name, a place of its controller, or its door. */
export function isNamed(bench: RunningBench, named: string): boolean {
  return benchName(bench) === named || bench.door === named || isReachedAt(bench, named);
}

/** Whether the controller of this bench is at `port`, as it is written after `--port`. */
export function isReachedAt({ link, uart, pty }: RunningBench, port: string): boolean {
  return [link, uart, pty].includes(port.replace(/^tcp:\/\/localhost:/, 'tcp://127.0.0.1:'));
}

function listFolder(): readonly string[] {
  try {
    return readdirSync(folder()).filter((name) => name.endsWith('.json'));
  } catch {
    return [];
  }
}

function readBench(path: string): RunningBench | null {
  try {
    return benchSchema.parse(JSON.parse(readFileSync(path, 'utf8')));
  } catch {
    return null;
  }
}
