/** The built program in processes of its own, as a grower and as another program runs it. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { FaultName } from '../../firmware/bench/faults';
import type { HandActionName } from '../../firmware/bench/hand-actions';
import { askBench } from '../../firmware/bench/server/ask';
import type { DoorRequest } from '../../firmware/bench/server/door';
import type { BenchState } from '../../firmware/bench/state';
import { onceARun } from '../once';
import { misfitOfLine } from './shapes';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** What a command said, and how it ended. */
export interface Ended {
  readonly code: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** What happens when the program says certain words; once each. */
export type Deeds = Readonly<Record<string, () => unknown>>;

export interface RunOptions {
  readonly deeds?: Deeds;
  readonly env?: Readonly<Record<string, string>>;
  /** What happens at the first word on standard output. */
  readonly start?: () => unknown;
}

/** A line of a stack trace, or the name of one of Node's own files. */
const TRACE = /^\s+at .+:\d+:\d+\)?$|node:internal|^Uncaught/m;

/** Words on one line, whatever the width they were wrapped to. */
export const unwrapped = (text: string): string => text.replace(/\s+/g, ' ');

/** The one JSON object of a command run with `--json`. */
export function json({ stdout }: Ended) {
  return JSON.parse(stdout);
}

/** The program, built from the sources as they are now, with a home of its own. */
export class Program {
  /** Where it keeps and looks for everything: no test meets the real home, or another's bench. */
  readonly home = mkdtempSync(join(tmpdir(), 'trayward-process-'));
  private readonly benches: ProcessBench[] = [];

  private constructor(readonly path: string) {}

  /** The program in a new home. */
  static async built(): Promise<Program> {
    const path = await onceARun('program', async () => {
      const folder = 'dist/test';
      execFileSync(process.execPath, ['cli/build.mjs', folder], { cwd: ROOT });
      return join(ROOT, folder, 'trayward.mjs');
    });
    return new Program(path);
  }

  spawn(words: readonly string[], env: Readonly<Record<string, string>> = {}): ChildProcess {
    return spawn(process.execPath, [this.path, ...words], {
      cwd: ROOT,
      stdio: ['pipe', 'pipe', 'pipe'],
      env: { PATH: process.env.PATH, HOME: this.home, TMPDIR: this.home, TZ: 'UTC', ...env },
    });
  }

  /**
   * Runs a command to its end. Throws when it shows a stack trace, or with `--json` anything that is not
   * documented, whatever else it does.
   */
  async run(
    words: readonly string[],
    { deeds = {}, env = {}, start }: RunOptions = {},
  ): Promise<Ended> {
    const child = this.spawn(words, env);
    child.stdin?.end();
    const waiting = new Map(Object.entries(deeds));
    let stdout = '';
    let stderr = '';
    child.stdout?.on('data', (data: Buffer) => {
      if (stdout === '') start?.();
      stdout += data.toString();
    });
    child.stderr?.on('data', (data: Buffer) => {
      stderr += data.toString();
      for (const [said, deed] of waiting) {
        if (!unwrapped(stderr).includes(said)) continue;
        waiting.delete(said);
        deed();
      }
    });
    const code = await new Promise<number>((resolve) => {
      child.once('close', (status) => resolve(status ?? -1));
    });
    if (words.includes('--json')) {
      for (const line of stdout.trim().split('\n')) {
        const why = misfitOfLine(words, line);
        if (why !== null) throw new Error(`not as documented: ${why}\n${line}`);
      }
    }
    if (TRACE.test(stdout + stderr)) {
      throw new Error(`trayward ${words.join(' ')} showed a stack trace:\n${stdout}${stderr}`);
    }
    return { code, stdout, stderr };
  }

  /** Starts a bench in a process of its own. */
  async startBench(...words: string[]): Promise<ProcessBench> {
    const start = ['--json', 'bench', 'start', '--listen', '0', '--speed', '0'];
    const child = this.spawn([...start, '--until-stdin-closes', ...words]);
    const at = await new Promise<BenchPlaces>((resolve, reject) => {
      child.once('exit', (code) => reject(new Error(`the bench ended with ${code}`)));
      if (child.stdout === null) return;
      createInterface({ input: child.stdout }).once('line', (line) => {
        const { ok, result, error } = JSON.parse(line);
        if (ok) resolve(result);
        else reject(new Error(error.message));
      });
    });
    const bench = new ProcessBench(child, at);
    this.benches.push(bench);
    return bench;
  }

  async end(): Promise<void> {
    await Promise.all(this.benches.map((bench) => bench.stop()));
    rmSync(this.home, { recursive: true, force: true });
  }
}

interface BenchPlaces {
  readonly link: string;
  readonly door: string;
  readonly uart: string | null;
  readonly pty: string | null;
  readonly boardId: string;
}

/** A running bench: its places, and the hand, the faults and the time of its tray. */
export class ProcessBench {
  constructor(
    private readonly child: ChildProcess,
    readonly at: BenchPlaces,
  ) {}

  async ask(request: DoorRequest): Promise<BenchState> {
    const answer = await askBench(this.at.door, request);
    if (!answer.ok) throw new Error(answer.why);
    return answer.value.state;
  }

  hand(action: HandActionName, value?: number | string): Promise<BenchState> {
    return this.ask({ do: 'hand', action, value });
  }

  fault(name: FaultName, forS: number): Promise<BenchState> {
    return this.ask({ do: 'fault', name, on: true, forS });
  }

  wait(forS: number): Promise<BenchState> {
    return this.ask({ do: 'run', forS });
  }

  /** Ends it as its maker does, by closing its standard input; returns its exit code. */
  stop(): Promise<number> {
    const { child } = this;
    if (child.exitCode !== null) return Promise.resolve(child.exitCode);
    return new Promise((resolve) => {
      child.once('exit', (code) => resolve(code ?? -1));
      child.stdin?.end();
    });
  }
}
