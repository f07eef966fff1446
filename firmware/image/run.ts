/** Runs a program of the build and tells what it said when it failed. */
import { spawn } from 'node:child_process';

export interface Ran {
  readonly stdout: string;
  readonly stderr: string;
}

/** Standard output and error of a program that ended with 0; throws with both otherwise. */
export function run(program: string, args: readonly string[], cwd?: string): Promise<Ran> {
  return new Promise((resolve, reject) => {
    const child = spawn(program, [...args], { ...(cwd ? { cwd } : {}), stdio: 'pipe' });
    let stdout = '';
    let stderr = '';
    child.stdout.on('data', (data) => {
      stdout += String(data);
    });
    child.stderr.on('data', (data) => {
      stderr += String(data);
    });
    child.on('error', (error) => reject(new Error(`${program}: ${error.message}`)));
    child.on('close', (code) => {
      if (code === 0) {
        resolve({ stdout, stderr });
      } else {
        reject(new Error(`${program} ended with ${code}.\n${stdout}${stderr}`.trim()));
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
