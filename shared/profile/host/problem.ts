/** What can be wrong with a profile file, with all that a grower needs to put it right. */

/** `error`: the file is refused. `warning`: unwise, but the grower may know better. */
export type Severity = 'error' | 'warning';

/** Keys and indexes from the top of the file down to a value. */
export type SourcePath = readonly (string | number)[];

export interface SourceProblem {
  readonly severity: Severity;
  readonly file: string;
  /** Both count from 1. */
  readonly line: number;
  readonly column: number;
  /** Such as `stages[2].band.high`; empty for the file as a whole. */
  readonly path: string;
  /** The value as it stands in the file, shortened; null when there is none to show. */
  readonly found: string | null;
  /** What would be right there, such as `5 C to 35 C`; null when `why` says it. */
  readonly allowed: string | null;
  /** Why it is refused, and what to write instead. */
  readonly why: string;
  /** Where a limit comes from, when it was published; null otherwise. */
  readonly source: string | null;
}

/** What a rule says about a value; the place is found from its path. */
export interface ProblemContent {
  readonly severity?: Severity;
  readonly why: string;
  readonly allowed?: string | null;
  readonly source?: string | null;
}

/** A path as a grower reads it: `stages[2].band.high`. */
export function pathText(path: SourcePath): string {
  return path
    .map((step, i) => (typeof step === 'number' ? `[${step}]` : i === 0 ? step : `.${step}`))
    .join('');
}

/**
 * A problem in words. The first line is `file:line:column: ...`, which terminals and editors turn into
 * a link.
 */
export function problemText(problem: SourceProblem): string {
  const { file, line, column, severity, path, found, allowed, why, source } = problem;
  const value = path !== '' && found !== null ? ` = ${found}` : '';
  const range = allowed === null ? '' : ` Allowed: ${allowed}.`;
  const origin = source === null ? '' : ` Source: ${source}.`;
  const head = `${file}:${line}:${column}: ${severity}${path === '' ? '' : `: ${path}${value}`}`;
  return `${head}\n  ${why}${range}${origin}`;
}
