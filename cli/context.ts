/** What a command is given: options, the controller, prompts, progress, and the way out. */
import type { OptionsOf, Readers } from './arguments/options';
import type { Client } from './link/client';
import type { Found } from './link/find';
import type { Style } from './terminal/output';
import type { Ask, Progress, Sink, Source } from './terminal/streams';

export type Units = 'metric' | 'us';

/** The world outside, passed in so that tests can bring their own. */
export interface World {
  readonly stdout: Sink;
  readonly stderr: Sink;
  readonly stdin: Source;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Time of day on this laptop, Unix ms. */
  now(): number;
  /** Time of day to set at a port: the laptop's, or on a bench that of its room. */
  nowAt(port: string): Promise<number>;
  /** Waits for the tray: on a bench, in the bench's time. */
  sleep(ms: number): Promise<void>;
  /** Waits for somebody who looks on, in this laptop's time: looking moves no bench. */
  pause(ms: number): Promise<void>;
  /** Shows a long text page by page; false where there is no way to, and nothing was shown. */
  page(text: string): Promise<boolean>;
  connect(port: string): Promise<Client>;
  /** Those that answer. Throws `LinkError` when none does because a port is held or forbidden. */
  findControllers(): Promise<readonly Found[]>;
  /** The program's own script, to be started as a thread; null: everything runs in this one. */
  readonly script: string | null;
  /** Fires once, at Ctrl-C. */
  readonly interrupt: AbortSignal;
}

/** What a command hands back: the stable shape for programs, and the same for people. */
export interface Answer<R extends object = object> {
  readonly result: R;
  /** Printed on stdout without `--json`; empty prints nothing. */
  readonly text: string;
  /** It may be longer than a screen: a terminal shows it page by page. */
  readonly isLong?: boolean;
}

export interface Context {
  readonly json: boolean;
  readonly quiet: boolean;
  readonly units: Units;
  /** As given by `--port` or TRAYWARD_PORT; null: the only controller found. */
  readonly port: string | null;
  readonly style: Style;
  readonly world: World;
  readonly ask: Ask;
  /** The controller, connected once; its clock is set on the way. Closed by itself at the end. */
  client(): Promise<Client>;
  /**
   * The same controller over a line of its own, after that of `client` was lost. Throws `LinkError`,
   * `not-ours` when another controller answers there now.
   */
  reconnect(): Promise<Client>;
  /** A line of progress or advice on stderr; silent with `--quiet` or `--json`. */
  say(text: string): void;
  /** What somebody must do at the tray now, on stderr; said even with `--quiet` and `--json`. */
  instruct(text: string): void;
  /** A caution on stderr; said even with `--quiet` and `--json`. */
  caution(text: string): void;
  /** A bar on a terminal, a line at the start and end otherwise. */
  progress(label: string, total: number): Promise<Progress>;
  /** Runs at the end of the command, however it ends; last added first. */
  atEnd(work: () => void | Promise<void>): void;
  /** For commands that run until Ctrl-C: resolves then, and the command ends in its own way. */
  untilInterrupt(): Promise<void>;
}

/** What a verb does: given its context, options and arguments, it answers or throws. */
export type Work<Options> = (
  context: Context,
  options: Options,
  args: readonly string[],
) => Promise<Answer>;

/** Turns work, and the readers of its options, into what commander calls. Handed to each noun's `register`. */
export type Act = <R extends Readers>(
  readers: R,
  work: Work<OptionsOf<R>>,
) => (...given: unknown[]) => Promise<void>;
