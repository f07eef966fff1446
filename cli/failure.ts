/** How a command fails: what was refused, why, and what to do next; and the exit code that goes with it. */
import type { UnitSystem } from '../shared/units';
import { examplesIn } from '../shared/units/examples';

/**
 * `usage`: the command line is wrong. `invalid`: a file or value is. `refused`: the controller or a
 * check said no, and nothing changed. `failed`: begun and not finished. `no-controller`: none
 * reached. `interrupted`: by Ctrl-C. `internal`: our own mistake.
 */
export type FailureKind =
  | 'usage'
  | 'invalid'
  | 'refused'
  | 'failed'
  | 'no-controller'
  | 'interrupted'
  | 'internal';

export const EXIT_CODES = {
  done: 0,
  refused: 1,
  usage: 2,
  noController: 3,
  /** 128 + SIGINT, the shells' convention. */
  interrupted: 130,
} as const;

const EXIT_BY_KIND: Readonly<Record<FailureKind, number>> = {
  usage: EXIT_CODES.usage,
  invalid: EXIT_CODES.usage,
  refused: EXIT_CODES.refused,
  failed: EXIT_CODES.refused,
  'no-controller': EXIT_CODES.noController,
  interrupted: EXIT_CODES.interrupted,
  internal: EXIT_CODES.refused,
};

/** The failure of a command, in a grower's words. Everything a command throws ends as one of these. */
export class CommandError extends Error {
  constructor(
    readonly kind: FailureKind,
    /** Stable word for programs, such as `scale-unstable`. */
    readonly reason: string,
    /** What was refused, and why. One or two sentences. */
    message: string,
    /** What to do next. */
    readonly next: string,
    /** More for programs, for example one object for each error in a profile. */
    readonly details: readonly unknown[] = [],
    options?: ErrorOptions,
  ) {
    super(message, options);
    this.name = 'CommandError';
  }

  get exitCode(): number {
    return EXIT_BY_KIND[this.kind];
  }

  /** The same, with what it says to do in the units in use. */
  inUnits(units: UnitSystem): CommandError {
    const next = examplesIn(this.next, units);
    // What a quantity is told to be written as stands in quotes in the message itself.
    const message = this.message.replace(/example "[^"]*"/g, (quoted) => examplesIn(quoted, units));
    if (next === this.next && message === this.message) return this;
    return new CommandError(this.kind, this.reason, message, next, this.details, {
      cause: this.cause ?? this,
    });
  }
}

export const usage = (message: string, next: string, reason = 'usage'): CommandError =>
  new CommandError('usage', reason, message, next);
export const invalid = (reason: string, message: string, next: string): CommandError =>
  new CommandError('invalid', reason, message, next);
export const refused = (reason: string, message: string, next: string): CommandError =>
  new CommandError('refused', reason, message, next);
export const failed = (reason: string, message: string, next: string): CommandError =>
  new CommandError('failed', reason, message, next);

/** What the system says about files and folders, in a grower's words. */
const FILE_FAILURES: Readonly<Record<string, string>> = {
  ENOSPC: 'The disk is full.',
  EDQUOT: 'Your share of the disk is full.',
  EACCES: 'Permission denied.',
  EPERM: 'Permission denied.',
  EROFS: 'That disk cannot be written.',
  ENOENT: 'No such file or folder.',
  ENXIO: 'Nothing is behind it.',
  EISDIR: 'That is a folder, not a file.',
  ENOTDIR: 'A file stands where a folder is needed.',
  EEXIST: 'Something of that name stands there already.',
  ENAMETOOLONG: 'That name is too long.',
};

/** A path that was given wrongly, rather than a disk that will not. */
const WRONG_PATHS: readonly string[] = ['ENOENT', 'EISDIR', 'ENOTDIR', 'ENAMETOOLONG'];

/** Why a file or folder cannot be used, by the system's code. */
export const fileSentence = (code: string): string =>
  FILE_FAILURES[code] ?? `The system refused it: ${code}.`;

/** Where the system takes no folder at all, it says that there is none. */
const NO_FOLDER_THERE = 'No folder can be made there.';

export function fileFailure(error: Error, code: string): CommandError {
  const { path, syscall } = Object(error);
  const where = typeof path === 'string' ? `${path}: ` : '';
  const full = code === 'ENOSPC' || code === 'EDQUOT';
  return new CommandError(
    WRONG_PATHS.includes(code) ? 'invalid' : 'failed',
    `file-${code.toLowerCase()}`,
    `${where}${syscall === 'mkdir' && code === 'ENOENT' ? NO_FOLDER_THERE : fileSentence(code)}`,
    full
      ? 'Free some space, then run the command again.'
      : 'Check the path and its permissions, then run the command again.',
    [],
    { cause: error },
  );
}

/** The system's code of an error that came from a file or folder, or null. */
export function fileCodeOf(error: Error): string | null {
  const { code, path } = Object(error);
  if (typeof code !== 'string' || !('syscall' in error)) return null;
  return code in FILE_FAILURES || typeof path === 'string' ? code : null;
}
