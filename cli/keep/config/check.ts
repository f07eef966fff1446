/** A keeper's file from text to plan: everything that is wrong with it, each with its place; or what is to be done. */
import { dirname, resolve } from 'node:path';
import type { z } from 'zod';
import { decodeUtf8 } from '../../../shared/bytes';
import { problemText, type SourceProblem } from '../../../shared/profile/host/problem';
import { readSource, type Source } from '../../../shared/profile/host/source';
import { wordsFor } from '../../../shared/profile/host/words';
import { didYouMean } from '../../../shared/text/nearest';
import { CommandError, invalid, usage } from '../../failure';
import { readBounded } from '../../files/bounded-read';
import { FILE_LIMITS } from '../limits';
import { acrossProblems, certificate, type Surroundings } from './across';
import { addressOf } from './open-doors';
import type { DoorPlan, KeepPlan, PagePlan, SparkplugPlan } from './plan';
import { FILE_VERSION, KEYS, type KeepFile, keepFile } from './schema';
import { readSecret, Secret, type SecretPlace } from './secret';

type Env = Surroundings['env'];

const WORDS = {
  one: "keeper's file",
  many: "keeper's files",
  empty: '`trayward keep check --example` prints one to start from.',
};

export interface CheckedKeep {
  readonly problems: readonly SourceProblem[];
  /** Null when any of the problems is an error. */
  readonly plan: KeepPlan | null;
}

/** Checks a file's text; problems come in the order of its lines. */
export function checkKeepText(text: string, file: string, env: Env): CheckedKeep {
  const read = readSource(text, file, WORDS);
  if (!read.ok) return { problems: read.problems, plan: null };
  const { source } = read;
  const around = { folder: dirname(resolve(file)), env };
  const parsed = keepFile.safeParse(source.value);
  const found = parsed.success ? [] : parsed.error.issues.flatMap((one) => findingOf(source, one));
  const across = acrossProblems(source.value, around).map(({ path, ...about }) =>
    source.problemAt(path, about),
  );
  const problems = [...found, ...across]
    // Of one value the first is told: the others follow from it.
    .filter(({ path }, i, all) => all.findIndex((one) => one.path === path) === i)
    .map(withoutValue)
    .sort((a, b) => a.line - b.line || a.column - b.column);
  const isWrong = !parsed.success || problems.some(({ severity }) => severity === 'error');
  return { problems, plan: isWrong ? null : planOf(parsed.data, resolve(file), around) };
}

/** What stands at a door or an address may be a secret in the wrong place: it is never quoted. */
function withoutValue(problem: SourceProblem): SourceProblem {
  return /^(doors|heartbeat|page\.token|sparkplug)/.test(problem.path)
    ? { ...problem, found: null }
    : problem;
}

function findingOf(source: Source, issue: z.core.$ZodIssue): readonly SourceProblem[] {
  const path = issue.path.map((step) => (typeof step === 'number' ? step : String(step)));
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => {
      const why = `There is no key "${key}" here.${didYouMean(key, KEYS)}`;
      return { ...source.problemAt([...path, key], { why }, 'key'), found: null };
    });
  }
  if (path[0] === 'trayward-keep') {
    const why = `The file begins with "trayward-keep: ${FILE_VERSION}": the number of its format, which this program knows.`;
    return [source.problemAt(path, { why })];
  }
  const value = path.reduce<unknown>((inner, step) => Object(inner)[step], source.value);
  return [source.problemAt(path, { why: wordsFor(issue, value) })];
}

function planOf(file: KeepFile, path: string, around: Surroundings): KeepPlan {
  const secretOf = (place: SecretPlace): Secret => {
    const read = readSecret(place, around.folder, around.env);
    if (read.ok) return read.secret;
    throw invalid('keep-secret', read.why, 'Put it right and try again.');
  };
  const secretUrlOf = (url: string | SecretPlace | null): Secret =>
    typeof url === 'string' || url === null ? new Secret(url ?? '') : secretOf(url);
  const loginOf = (user: string | undefined, password: SecretPlace | undefined) =>
    user === undefined || password === undefined ? null : { user, password: secretOf(password) };
  const caOf = (ca: string | undefined) => (ca === undefined ? null : certificate(ca, around));
  const doorOf = (door: KeepFile['doors'][number]): DoorPlan => {
    if (door.kind === 'webhook') {
      return { ...door, url: secretUrlOf(door.url), secret: secretOf(door.secret) };
    }
    const { user, password, ca, ...rest } = door;
    const common = { login: loginOf(user, password), ca: caOf(ca) };
    return rest.kind === 'mqtt'
      ? { ...rest, ...common, journal: rest.journal ?? null }
      : { ...rest, ...common };
  };
  const sparkplugOf = (given: NonNullable<KeepFile['sparkplug']>): SparkplugPlan => {
    const { url, user, password, ca, group, node = file.name, host = null, commands } = given;
    const login = loginOf(user, password);
    return { url, login, ca: caOf(ca), group, node, host, orders: commands };
  };
  const { heartbeat, page, sparkplug, metrics } = file;
  return {
    file: path,
    name: file.name,
    units: file.units,
    morningMin: file.morning,
    heartbeat:
      heartbeat === undefined
        ? null
        : { url: secretUrlOf(heartbeat.url), everyMs: heartbeat.every },
    page: page === undefined ? null : pageOf(page, secretOf),
    sparkplug: sparkplug === undefined ? null : sparkplugOf(sparkplug),
    metrics: metrics === undefined ? null : addressOf(metrics.listen),
    trays: file.trays.map(({ name, port = null, controller = null }) => ({
      name,
      port,
      controller,
    })),
    doors: file.doors.map(doorOf),
    tells: tellsOf(file),
  };
}

const pageOf = (
  { listen, url, token }: NonNullable<KeepFile['page']>,
  secretOf: (place: SecretPlace) => Secret,
): PagePlan => ({
  listen,
  url: url?.replace(/\/+$/, '') ?? null,
  token: token === undefined ? null : secretOf(token),
});

/** Whom to tell what; quiet hours are those of the file where somebody has none of their own. */
const tellsOf = ({ tell, quiet: ofAll }: KeepFile): KeepPlan['tells'] =>
  tell.map(({ who, door, to = null, trays = null, what, quiet }) => ({
    ...{ id: `${who} by ${door}`, who, door, to, trays, what },
    quiet: quiet ?? ofAll ?? null,
  }));

export interface ReadKeep {
  readonly plan: KeepPlan;
  readonly warnings: readonly SourceProblem[];
}

/** Reads a keeper's file. Throws `CommandError` with every problem in it. */
export function readKeep(file: string | undefined, env: Env): ReadKeep {
  if (file === undefined) throw usage('Which file?', "Give the keeper's file, such as room.yaml.");
  const text = decodeUtf8(readBounded(file, FILE_LIMITS.fileBytes, "a keeper's file"));
  if (text === null) {
    throw invalid(
      'not-utf8',
      `${file} is not written in UTF-8.`,
      'Save it as UTF-8, then check again.',
    );
  }
  const { problems, plan } = checkKeepText(text, file, env);
  if (plan !== null) return { plan, warnings: problems };
  const count = problems.filter(({ severity }) => severity === 'error').length;
  throw new CommandError(
    'invalid',
    'keep-invalid',
    [
      `${count === 1 ? 'There is a mistake' : `There are ${count} mistakes`} in ${file}.`,
      ...problems.map(problemText),
    ].join('\n'),
    'Put it right, then `trayward keep check` again. Nothing was started.',
    problems,
  );
}
