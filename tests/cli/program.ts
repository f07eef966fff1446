/** The program as a grower and as another program runs it: built, in processes of its own, or in this one. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { PassThrough } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { vi } from 'vitest';
import { createTime } from '../../cli/bench/time';
import type { World } from '../../cli/context';
import { findControllers } from '../../cli/link/find';
import { connectWithFactor } from '../../cli/link/timeouts';
import { main } from '../../cli/main';
import type { FaultName } from '../../firmware/bench/faults';
import type { HandActionName } from '../../firmware/bench/hand-actions';
import { askBench } from '../../firmware/bench/server/ask';
import type { DoorRequest } from '../../firmware/bench/server/door';
import type { BenchState } from '../../firmware/bench/state';
import { onceARun } from '../once';
import { commandOf, misfitOfLine } from './shapes';
import { runIn, worldOf } from './worlds';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** What a command said, and how it ended. */
export interface Ended {
  readonly code: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Time stands still until somebody lets it run, and it ends with its standard input. */
const BENCH_START = [
  ...['--json', 'bench', 'start', '--until-stdin-closes'],
  ...['--listen', '0', '--speed', '0'],
];

/** What happens when the program says certain words; once each. */
export type Deeds = Readonly<Record<string, () => unknown>>;

export interface RunHereOptions {
  readonly deeds?: Deeds;
  readonly env?: Readonly<Record<string, string>>;
  /** How somebody who looks on waits; in this computer's time unless given. */
  readonly pause?: World['pause'];
}

const paused: World['pause'] = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

export interface RunOptions extends RunHereOptions {
  /** What happens at the first word on standard output. */
  readonly start?: () => unknown;
}

/** A line of a stack trace, or the name of one of Node's own files. */
const TRACE = /^\s+at .+:\d+:\d+\)?$|node:internal|^Uncaught/m;

/** Words on one line, whatever the width they were wrapped to. */
export const unwrapped = (text: string): string => text.replace(/\s+/g, ' ');

/** The one JSON object of a command run with `--json`. */
export function json({ stdout }: Ended) {
  const reply = JSON.parse(stdout);
  if (reply.ok === false) {
    // A test that reads the result of a command that failed is told why it did.
    Object.defineProperty(reply, 'result', {
      get() {
        throw new Error(`the command failed: ${stdout}`);
      },
    });
  }
  return reply;
}

/** Does each deed once its words have been said. Returns what listens to standard error. */
export function doing(deeds: Deeds): (text: string) => void {
  const waiting = new Map(Object.entries(deeds));
  let heard = '';
  return (text) => {
    heard += text;
    for (const [said, deed] of waiting) {
      if (!unwrapped(heard).includes(said)) continue;
      waiting.delete(said);
      deed();
    }
  };
}

/** Throws when a command showed a stack trace, or with `--json` anything that is not documented. */
export function inForm(words: readonly string[], ended: Ended): Ended {
  const { stdout, stderr } = ended;
  if (words.includes('--json')) {
    for (const line of stdout.trim().split('\n')) {
      const why = misfitOfLine(words, line);
      if (why !== null) throw new Error(`not as documented: ${why}\n${line}`);
    }
  }
  if (TRACE.test(stdout + stderr)) {
    throw new Error(`trayward ${words.join(' ')} showed a stack trace:\n${stdout}${stderr}`);
  }
  return ended;
}

/** The program, built from the sources as they are now, with a home of its own. */
export class Program {
  /** Where it keeps and looks for everything: no test meets the real home, or another's bench. */
  readonly home = mkdtempSync(join(tmpdir(), 'trayward-process-'));
  private readonly benches: ProcessBench[] = [];
  /** Nouns of which a command has had a process of its own. */
  readonly #begun = new Set<string>();
  /** How many commands are running in this process. */
  private here = 0;

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

  /** Runs a command to its end, in a process of its own. Throws as `inForm` does, whatever else it does. */
  async run(
    words: readonly string[],
    { deeds = {}, env = {}, start }: RunOptions = {},
  ): Promise<Ended> {
    const child = this.spawn(words, env);
    child.stdin?.end();
    const hear = doing(deeds);
    let stdout = '';
    let stderr = '';
    child.stdout?.on('data', (data: Buffer) => {
      if (stdout === '') start?.();
      stdout += data.toString();
    });
    child.stderr?.on('data', (data: Buffer) => {
      stderr += data.toString();
      hear(data.toString());
    });
    const code = await new Promise<number>((resolve) => {
      child.once('close', (status) => resolve(status ?? -1));
    });
    return inForm(words, { code, stdout, stderr });
  }

  /**
   * The same from the sources and in this process: over the same lines, in the same home, and without the
   * tenths of a second that a process takes to start. For what is not about processes.
   */
  async runHere(
    words: readonly string[],
    { deeds = {}, ...options }: RunHereOptions = {},
  ): Promise<Ended> {
    const world = this.#worldHere(options);
    return inForm(words, await this.#isHere(() => runIn(world, words, doing(deeds))));
  }

  /** `run` for the first command of each noun, of which the built program has a part by itself; `runHere` for the others. */
  async runByNoun(words: readonly string[], options: RunHereOptions = {}): Promise<Ended> {
    const [noun = ''] = (commandOf(words) ?? '').split(' ');
    if (this.#begun.has(noun)) return this.runHere(words, options);
    this.#begun.add(noun);
    return this.run(words, options);
  }

  #worldHere({ env = {}, pause = paused }: RunHereOptions): World {
    const time = createTime(Date.now);
    return worldOf({
      stdin: new PassThrough().end(),
      env: { HOME: this.home, ...env },
      now: Date.now,
      nowAt: time.nowAt,
      sleep: time.sleep,
      pause,
      connect: (port) =>
        connectWithFactor(port, env.TRAYWARD_TIMEOUT_FACTOR ?? '1', time.elapsedMs),
      findControllers,
      script: this.path,
    });
  }

  /** Running benches and keepers are looked for in this home meanwhile, as by the processes. */
  async #isHere<Result>(run: () => Promise<Result>): Promise<Result> {
    if (this.here++ === 0) vi.stubEnv('TMPDIR', this.home);
    try {
      return await run();
    } finally {
      if (--this.here === 0) vi.unstubAllEnvs();
    }
  }

  /** Starts a bench in a process of its own. */
  async startBench(...words: string[]): Promise<ProcessBench> {
    const child = this.spawn([...BENCH_START, ...words]);
    const at = await new Promise<BenchPlaces>((resolve, reject) => {
      child.once('exit', (code) => reject(new Error(`the bench ended with ${code}`)));
      if (child.stdout === null) return;
      createInterface({ input: child.stdout }).once('line', (line) => resolve(placesIn(line)));
    });
    return this.#kept(
      new ProcessBench(at, () => {
        if (child.exitCode !== null) return Promise.resolve(child.exitCode);
        return new Promise((resolve) => {
          child.once('exit', (code) => resolve(code ?? -1));
          child.stdin?.end();
        });
      }),
    );
  }

  /**
   * The same from the sources and in this process, for images: what one of them has been translated to for one
   * emulated board is there for all others of the process.
   */
  async startBenchHere(...words: string[]): Promise<ProcessBench> {
    const stdin = new PassThrough();
    let ended: Promise<number> | null = null;
    const at = await new Promise<BenchPlaces>((resolve, reject) => {
      const stdout = { write: (text: string) => resolve(placesIn(text)) };
      const world = { ...this.#worldHere({}), stdin, stdout };
      ended = this.#isHere(() => main([...BENCH_START, ...words], world));
      ended.then((code) => reject(new Error(`the bench ended with ${code}`)), reject);
    });
    return this.#kept(
      new ProcessBench(at, () => {
        stdin.end();
        return ended ?? Promise.resolve(0);
      }),
    );
  }

  #kept(bench: ProcessBench): ProcessBench {
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

function placesIn(line: string): BenchPlaces {
  const { ok, result, error } = JSON.parse(line);
  if (!ok) throw new Error(error.message);
  return result;
}

/** A running bench, reached as from another process: its places, and the hand, the faults and the time of its tray. */
export class ProcessBench {
  /** `stop`: ends it as its maker does, by closing its standard input; gives its exit code, however often it is called. */
  constructor(
    readonly at: BenchPlaces,
    readonly stop: () => Promise<number>,
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
}
