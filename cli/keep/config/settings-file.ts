/** A YAML file of settings, whoever's: every mistake in it with its place, or its value by its schema. Plans are made elsewhere. */
import { dirname, resolve } from 'node:path';
import type { z } from 'zod';
import { decodeUtf8 } from '../../../shared/bytes';
import { problemText, type SourceProblem } from '../../../shared/profile/host/problem';
import { readSource, type Source } from '../../../shared/profile/host/source';
import { wordsFor } from '../../../shared/profile/host/words';
import { didYouMean } from '../../../shared/text/nearest';
import { CommandError, invalid, usage } from '../../failure';
import { readBounded } from '../../files/bounded-read';
import { type AcrossProblem, certificate, type Surroundings } from './across';
import { readSecret, type Secret, type SecretPlace } from './secret';

/** One kind of such files. */
export interface SettingsKind<File> {
  /** `keep`, of `trayward keep check`: reasons and the first key of the file begin with it or end so. */
  readonly noun: string;
  readonly version: number;
  /** `keeper's file`, `keeper's files`; and one to name in an example, `room.yaml`. */
  readonly one: string;
  readonly many: string;
  readonly example: string;
  readonly mostBytes: number;
  readonly schema: z.ZodType<File>;
  /** Every key, for the nearest right one. */
  readonly keys: readonly string[];
  /** What is wrong between values, by the raw ones. */
  readonly across: (value: unknown, around: Surroundings) => readonly AcrossProblem[];
  /** Where a secret may stand in the wrong place: what is there is never quoted. */
  readonly secretAt: RegExp;
}

export interface CheckedFile<File> {
  /** In the order of its lines. */
  readonly problems: readonly SourceProblem[];
  /** Null when any of the problems is an error. */
  readonly file: File | null;
  readonly around: Surroundings;
}

export function checkSettings<File>(
  kind: SettingsKind<File>,
  text: string,
  path: string,
  env: Surroundings['env'],
): CheckedFile<File> {
  const around = { folder: dirname(resolve(path)), env };
  const { one, many, noun } = kind;
  const empty = `\`trayward ${noun} check --example\` prints one to start from.`;
  const read = readSource(text, path, { one, many, empty });
  if (!read.ok) return { problems: read.problems, file: null, around };
  const { source } = read;
  const parsed = kind.schema.safeParse(source.value);
  const issues = parsed.success ? [] : parsed.error.issues;
  const found = issues.flatMap((issue) => findingOf(kind, source, issue));
  const across = kind
    .across(source.value, around)
    .map(({ path: at, ...about }) => source.problemAt(at, about));
  const problems = [...found, ...across]
    // Of one value the first is told: the others follow from it.
    .filter((problem, i, all) => all.findIndex(({ path: at }) => at === problem.path) === i)
    .map((problem) => (kind.secretAt.test(problem.path) ? { ...problem, found: null } : problem))
    .sort((a, b) => a.line - b.line || a.column - b.column);
  const isWrong = !parsed.success || problems.some(({ severity }) => severity === 'error');
  return { problems, file: isWrong ? null : parsed.data, around };
}

function findingOf<File>(
  { noun, version, keys }: SettingsKind<File>,
  source: Source,
  issue: z.core.$ZodIssue,
): readonly SourceProblem[] {
  const path = issue.path.map((step) => (typeof step === 'number' ? step : String(step)));
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => {
      const why = `There is no key "${key}" here.${didYouMean(key, keys)}`;
      return { ...source.problemAt([...path, key], { why }, 'key'), found: null };
    });
  }
  if (path[0] === `trayward-${noun}`) {
    const why = `The file begins with "trayward-${noun}: ${version}": the number of its format, which this program knows.`;
    return [source.problemAt(path, { why })];
  }
  const value = path.reduce<unknown>((inner, step) => Object(inner)[step], source.value);
  return [source.problemAt(path, { why: wordsFor(issue, value) })];
}

export interface ReadFile<File> {
  readonly file: File;
  /** The file's own, absolute. */
  readonly path: string;
  readonly around: Surroundings;
  readonly warnings: readonly SourceProblem[];
}

/** Reads such a file. Throws `CommandError` with every problem in it. */
export function readSettings<File>(
  kind: SettingsKind<File>,
  path: string | undefined,
  env: Surroundings['env'],
): ReadFile<File> {
  const { noun, one, example, mostBytes } = kind;
  if (path === undefined) throw usage('Which file?', `Give the ${one}, such as ${example}.`);
  const text = decodeUtf8(readBounded(path, mostBytes, `a ${one}`));
  if (text === null) {
    throw invalid(
      'not-utf8',
      `${path} is not written in UTF-8.`,
      'Save it as UTF-8, then check again.',
    );
  }
  const { problems, file, around } = checkSettings(kind, text, path, env);
  if (file !== null) return { file, path: resolve(path), around, warnings: problems };
  const count = problems.filter(({ severity }) => severity === 'error').length;
  throw new CommandError(
    'invalid',
    `${noun}-invalid`,
    [
      `${count === 1 ? 'There is a mistake' : `There are ${count} mistakes`} in ${path}.`,
      ...problems.map(problemText),
    ].join('\n'),
    `Put it right, then \`trayward ${noun} check\` again. Nothing was started.`,
    problems,
  );
}

/** What a file names instead of holding it. The getters throw `CommandError` where it cannot be had. */
export interface Named {
  secret(place: SecretPlace): Secret;
  ca(certificateFile: string | undefined): string | null;
  /** Null where there is no user, or no password. */
  login(
    user: string | undefined,
    password: SecretPlace | undefined,
  ): { readonly user: string; readonly password: Secret } | null;
}

export function namedIn(
  around: Surroundings,
  { noun }: Pick<SettingsKind<unknown>, 'noun'>,
): Named {
  const secret = (place: SecretPlace): Secret => {
    const read = readSecret(place, around.folder, around.env);
    if (read.ok) return read.secret;
    throw invalid(`${noun}-secret`, read.why, 'Put it right and try again.');
  };
  return {
    secret,
    ca: (file) => (file === undefined ? null : certificate(file, around)),
    login: (user, password) =>
      user === undefined || password === undefined ? null : { user, password: secret(password) },
  };
}
