/** A keeper's file from text to plan: everything that is wrong with it, each with its place; or what is to be done. */
import { resolve } from 'node:path';
import type { SourceProblem } from '../../../shared/profile/host/problem';
import { FILE_LIMITS } from '../limits';
import { acrossProblems, type Surroundings } from './across';
import { addressOf } from './open-doors';
import type { DoorPlan, KeepPlan, PagePlan, SparkplugPlan } from './plan';
import { FILE_VERSION, KEYS, type KeepFile, keepFile } from './schema';
import { Secret, type SecretPlace } from './secret';
import {
  checkSettings,
  type Named,
  namedIn,
  readSettings,
  type SettingsKind,
} from './settings-file';

type Env = Surroundings['env'];

const KIND: SettingsKind<KeepFile> = {
  ...{ noun: 'keep', version: FILE_VERSION, schema: keepFile, keys: KEYS },
  ...{ one: "keeper's file", many: "keeper's files", example: 'room.yaml' },
  mostBytes: FILE_LIMITS.fileBytes,
  across: acrossProblems,
  secretAt: /^(doors|heartbeat|page\.token|sparkplug)/,
};

export interface CheckedKeep {
  readonly problems: readonly SourceProblem[];
  /** Null when any of the problems is an error. */
  readonly plan: KeepPlan | null;
}

/** Checks a file's text; problems come in the order of its lines. */
export function checkKeepText(text: string, path: string, env: Env): CheckedKeep {
  const { problems, file, around } = checkSettings(KIND, text, path, env);
  return { problems, plan: file === null ? null : planOf(file, resolve(path), around) };
}

function planOf(file: KeepFile, path: string, around: Surroundings): KeepPlan {
  const named = namedIn(around, KIND);
  const secretUrlOf = (url: string | SecretPlace | null): Secret =>
    typeof url === 'string' || url === null ? new Secret(url ?? '') : named.secret(url);
  const doorOf = (door: KeepFile['doors'][number]): DoorPlan => {
    if (door.kind === 'webhook') {
      return { ...door, url: secretUrlOf(door.url), secret: named.secret(door.secret) };
    }
    const { user, password, ca, ...rest } = door;
    const common = { login: named.login(user, password), ca: named.ca(ca) };
    return rest.kind === 'mqtt'
      ? { ...rest, ...common, journal: rest.journal ?? null }
      : { ...rest, ...common };
  };
  const sparkplugOf = (given: NonNullable<KeepFile['sparkplug']>): SparkplugPlan => {
    const { url, user, password, ca, group, node = file.name, host = null, commands } = given;
    const login = named.login(user, password);
    return { url, login, ca: named.ca(ca), group, node, host, orders: commands };
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
    page: page === undefined ? null : pageOf(page, named),
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

const pageOf = ({ listen, url, token }: NonNullable<KeepFile['page']>, named: Named): PagePlan => ({
  listen,
  url: url?.replace(/\/+$/, '') ?? null,
  token: token === undefined ? null : named.secret(token),
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
  const { file: read, path, around, warnings } = readSettings(KIND, file, env);
  return { plan: planOf(read, path, around), warnings };
}
