/** The grower of the demo: a bench in a process of its own, the commands typed at it, and hands, faults and time. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { FaultName } from '../../firmware/bench/faults';
import type { HandActionName } from '../../firmware/bench/hand-actions';
import { askBench } from '../../firmware/bench/server/ask';
import type { DoorRequest } from '../../firmware/bench/server/door';
import type { BenchState } from '../../firmware/bench/state';
import { formatQuantity } from '../../shared/units';
import { DAY_S, HOUR_S } from '../../shared/units/time';
import { handValue } from '../bench/hand';
import type { Page } from './page';
import { benchIn, cloneAbove } from './place';
import { show, typed } from './shown';

const PROGRAM = join(__dirname, 'trayward.mjs');

/** What the grower does when the program says certain words. */
type Deeds = Readonly<Record<string, () => Promise<unknown>>>;

/** A bench in a process of its own. */
interface BenchProcess {
  readonly link: string;
  readonly door: string;
  readonly child: ChildProcess;
}

function startBench(
  options: readonly string[],
  cwd: string,
  env: NodeJS.ProcessEnv,
): Promise<BenchProcess> {
  const own = ['--json', 'bench', 'start', '--until-stdin-closes'];
  const child = spawn(process.execPath, [PROGRAM, ...own, ...options], {
    stdio: ['pipe', 'pipe', 'inherit'],
    ...{ cwd, env },
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('exit', () => reject(new Error('the bench did not start')));
    createInterface({ input: child.stdout }).once('line', (line) => {
      try {
        resolve({ ...benchIn(line), child });
      } catch (error) {
        reject(error);
      }
    });
  });
}

export class Grower {
  private constructor(
    private readonly page: Page,
    private readonly bench: BenchProcess,
    /** Where the demo keeps everything: no other program meets its bench, nor it another's. */
    private readonly home: string,
    /** The clone: files are told as they lie in it. */
    private readonly clone: string,
    private readonly env: NodeJS.ProcessEnv,
  ) {}

  /** A grower at a bench of their own that was started with `options`. */
  static async at(page: Page, options: readonly string[]): Promise<Grower> {
    const clone = cloneAbove(__dirname);
    if (clone !== process.cwd()) page.aside(`folder: ${clone}; files are told as they lie in it`);
    const home = mkdtempSync(join(tmpdir(), 'trayward-demo-'));
    // Times are shown as the room has them: its lamp comes on at six, wherever the demo runs.
    const env = { ...process.env, TMPDIR: home, TEMP: home, TMP: home, TZ: 'UTC' };
    page.command(['bench', 'start', ...options], ' &');
    try {
      return new Grower(page, await startBench(options, clone, env), home, clone, env);
    } catch (error) {
      rmSync(home, { recursive: true, force: true });
      throw error;
    }
  }

  /** Tells what happens next. */
  says(text: string): void {
    this.page.heading(text);
  }

  /** Types a command, in a process of its own, which must succeed. */
  async types(words: readonly string[], deeds: Deeds = {}): Promise<void> {
    this.page.command(words);
    const keeps = ['journal', 'explain', 'away', 'report'].includes(words[0] ?? '');
    const store = keeps ? ['--store', join(this.home, 'journals')] : [];
    const child = spawn(process.execPath, [PROGRAM, ...words, ...store], {
      stdio: ['ignore', 'pipe', 'pipe'],
      cwd: this.clone,
      env: { ...this.env, TRAYWARD_PORT: this.bench.link },
    });
    const code = await show(child, this.page.write, (line) => {
      for (const [said, deed] of Object.entries(deeds)) if (line.includes(said)) void deed();
    });
    this.page.answered();
    if (code === 0) return;
    const { exitCode, signalCode } = this.bench.child;
    const how = exitCode ?? signalCode;
    const command = typed(['trayward', ...words]);
    throw new Error(
      how === null
        ? `\`${command}\` ended with ${code}`
        : `the bench itself had ended before (${how}) when \`${command}\` looked for it`,
    );
  }

  /** Hands on the bench, told as `trayward bench hand` takes them. */
  async hand(action: HandActionName, said = ''): Promise<void> {
    this.page.aside(`hand: ${[action, said].join(' ').trim()}`);
    await this.ask({ do: 'hand', action, value: handValue(action, said, 'metric') });
  }

  /** So much time passes. */
  async waits(forS: number): Promise<void> {
    this.page.aside(`time: ${formatQuantity('duration', forS, 'metric')}`);
    await this.ask({ do: 'run', forS });
  }

  /** Time passes until it is `hour` o'clock in the room, whose clock is UTC. */
  async until(hour: number): Promise<void> {
    const { unixMs } = await this.state();
    const ofDayS = (unixMs / 1000) % DAY_S;
    const forS = (hour * HOUR_S - ofDayS + DAY_S) % DAY_S;
    await this.ask({ do: 'run', forS: forS > 0 ? forS : DAY_S });
  }

  /** Something goes wrong for a while. */
  async fault(name: FaultName, forS: number): Promise<void> {
    this.page.aside(`fault: ${name} for ${formatQuantity('duration', forS, 'metric')}`);
    await this.ask({ do: 'fault', name, on: true, forS });
  }

  /** What is really so on the bench. */
  state(): Promise<BenchState> {
    return this.ask({ do: 'state' });
  }

  /** Ends the bench; resolves when nothing of the demo is left. */
  async leaves(): Promise<void> {
    const { child } = this.bench;
    child.removeAllListeners('exit');
    if (child.exitCode === null && child.signalCode === null) {
      await new Promise<void>((resolve) => {
        child.once('exit', () => resolve());
        child.stdin?.end();
      });
    }
    rmSync(this.home, { recursive: true, force: true });
  }

  private async ask(request: DoorRequest): Promise<BenchState> {
    const answer = await askBench(this.bench.door, request);
    if (!answer.ok) throw new Error(answer.why);
    return answer.value.state;
  }
}
