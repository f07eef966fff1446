/** Runs a program of the build and tells what it said when it failed. */
import { spawn } from 'node:child_process';

/** Longest time for one step. A download over a slow line takes the longest. */
const RUN_LIMIT_MS = 300_000;

export interface Ran {
  readonly stdout: string;
  readonly stderr: string;
}

/** Standard output and error of a program that ended with 0; throws with both otherwise. */
export function run(program: string, args: readonly string[], cwd?: string): Promise<Ran> {
  return new Promise((resolve, reject) => {
    const place = cwd === undefined ? {} : { cwd };
    const child = spawn(program, [...args], { ...place, stdio: 'pipe', timeout: RUN_LIMIT_MS });
    let stdout = '';
    let stderr = '';
    child.stdout.on('data', (data) => {
      stdout += String(data);
    });
    child.stderr.on('data', (data) => {
      stderr += String(data);
    });
    child.on('error', (error) => reject(new Error(`${program}: ${error.message}`)));
    child.on('close', (code, signal) => {
      if (code === 0) {
        resolve({ stdout, stderr });
      } else {
        reject(new Error(`${program} ended with ${code ?? signal}.\n${stdout}${stderr}`.trim()));
      }
    });
  });
}

/** Does all jobs, at most `limit` at a time; the first failure is thrown when those under way ended. */
export async function inParallel(jobs: readonly (() => Promise<void>)[], limit: number) {
  const waiting = [...jobs];
  const worker = async () => {
    for (let job = waiting.shift(); job; job = waiting.shift()) {
      await job();
    }
  };
  const results = await Promise.allSettled(Array.from({ length: limit }, worker));
  const failed = results.find((result) => result.status === 'rejected');
  if (failed) {
    throw failed.reason;
  }
}
