/** A fleet's file from text to plan: everything that is wrong with it, each with its place; or what is to be done. */
import { dirname, resolve } from 'node:path';
import type { z } from 'zod';
import { decodeUtf8 } from '../../../shared/bytes';
import { problemText, type SourceProblem } from '../../../shared/profile/host/problem';
import { readSource, type Source } from '../../../shared/profile/host/source';
import { wordsFor } from '../../../shared/profile/host/words';
import { didYouMean } from '../../../shared/text/nearest';
import { CommandError, invalid, usage } from '../../failure';
import { readBounded } from '../../files/bounded-read';
import { certificate, type Surroundings } from '../../keep/config/across';
import { readSecret, type Secret, type SecretPlace } from '../../keep/config/secret';
import { FLEET_FILE_LIMITS } from '../limits';
import type { FleetPlan } from '../plan';
import { acrossFleet } from './across';
import { FLEET_VERSION, type FleetFile, fleetFile, KEYS } from './schema';

const WORDS = {
  one: "fleet's file",
  many: "fleet's files",
  empty: '`trayward fleet check --example` prints one to start from.',
};

export interface CheckedFleet {
  readonly problems: readonly SourceProblem[];
  /** Null when any of the problems is an error. */
  readonly plan: FleetPlan | null;
}

/** Checks a file's text; problems come in the order of its lines. */
export function checkFleetText(text: string, file: string, env: Surroundings['env']): CheckedFleet {
  const read = readSource(text, file, WORDS);
  if (!read.ok) return { problems: read.problems, plan: null };
  const { source } = read;
  const around = { folder: dirname(resolve(file)), env };
  const parsed = fleetFile.safeParse(source.value);
  const found = parsed.success ? [] : parsed.error.issues.flatMap((one) => findingOf(source, one));
  const across = acrossFleet(source.value, around).map(({ path, ...about }) =>
    source.problemAt(path, about),
  );
  const problems = [...found, ...across]
    // Of one value the first is told: the others follow from it.
    .filter(({ path }, i, all) => all.findIndex((one) => one.path === path) === i)
    // What stands there may be a secret in the wrong place: it is never quoted.
    .map((problem) => ({ ...problem, found: null }))
    .sort((a, b) => a.line - b.line || a.column - b.column);
  const isWrong = !parsed.success || problems.some(({ severity }) => severity === 'error');
  return { problems, plan: isWrong ? null : planOf(parsed.data, resolve(file), around) };
}

function findingOf(source: Source, issue: z.core.$ZodIssue): readonly SourceProblem[] {
  const path = issue.path.map((step) => (typeof step === 'number' ? step : String(step)));
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => {
      const why = `There is no key "${key}" here.${didYouMean(key, KEYS)}`;
      return source.problemAt([...path, key], { why }, 'key');
    });
  }
  if (path[0] === 'trayward-fleet') {
    const why = `The file begins with "trayward-fleet: ${FLEET_VERSION}": the number of its format, which this program knows.`;
    return [source.problemAt(path, { why })];
  }
  const value = path.reduce<unknown>((inner, step) => Object(inner)[step], source.value);
  return [source.problemAt(path, { why: wordsFor(issue, value) })];
}

function planOf(file: FleetFile, path: string, around: Surroundings): FleetPlan {
  const secretOf = (place: SecretPlace): Secret => {
    const read = readSecret(place, around.folder, around.env);
    if (read.ok) return read.secret;
    throw invalid('fleet-secret', read.why, 'Put it right and try again.');
  };
  const caOf = (ca: string | undefined) => (ca === undefined ? null : certificate(ca, around));
  const loginOf = (login: { user: string; password?: SecretPlace | undefined } | undefined) =>
    login === undefined
      ? null
      : {
          user: login.user,
          password: login.password === undefined ? null : secretOf(login.password),
        };
  const { broker, database } = file;
  const { user, password } = broker;
  const { owner, collector, reader } = database.logins;
  return {
    file: path,
    topic: broker.topic,
    group: broker.group,
    broker: {
      url: broker.url,
      login:
        user === undefined || password === undefined
          ? null
          : { user, password: secretOf(password) },
      ca: caOf(broker.ca),
    },
    database: {
      ...{ host: database.host, port: database.port, name: database.name, ca: caOf(database.ca) },
      logins: { owner: loginOf(owner), collector: loginOf(collector), reader: loginOf(reader) },
    },
  };
}

/** Reads a fleet's file. Throws `CommandError` with every problem in it. */
export function readFleet(file: string | undefined, env: Surroundings['env']): FleetPlan {
  if (file === undefined) throw usage('Which file?', "Give the fleet's file, such as fleet.yaml.");
  const text = decodeUtf8(readBounded(file, FLEET_FILE_LIMITS.fileBytes, "a fleet's file"));
  if (text === null) {
    throw invalid(
      'not-utf8',
      `${file} is not written in UTF-8.`,
      'Save it as UTF-8, then check again.',
    );
  }
  const { problems, plan } = checkFleetText(text, file, env);
  if (plan !== null) return plan;
  const count = problems.length;
  throw new CommandError(
    'invalid',
    'fleet-invalid',
    [
      `${count === 1 ? 'There is a mistake' : `There are ${count} mistakes`} in ${file}.`,
      ...problems.map(problemText),
    ].join('\n'),
    'Put it right, then `trayward fleet check` again. Nothing was started.',
    problems,
  );
}
