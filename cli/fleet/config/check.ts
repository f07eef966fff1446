/** A fleet's file from text to plan: everything that is wrong with it, each with its place; or what is to be done. */
import type { Surroundings } from '../../keep/config/across';
import type { SecretPlace } from '../../keep/config/secret';
import { namedIn, readSettings, type SettingsKind } from '../../keep/config/settings-file';
import { FLEET_FILE_LIMITS } from '../limits';
import type { FleetPlan } from '../plan';
import { acrossFleet } from './across';
import { FLEET_VERSION, type FleetFile, fleetFile, KEYS } from './schema';

const KIND: SettingsKind<FleetFile> = {
  ...{ noun: 'fleet', version: FLEET_VERSION, schema: fleetFile, keys: KEYS },
  ...{ one: "fleet's file", many: "fleet's files", example: 'fleet.yaml' },
  mostBytes: FLEET_FILE_LIMITS.fileBytes,
  across: acrossFleet,
  // A secret may stand anywhere in it.
  secretAt: /^/,
};

/** Reads a fleet's file. Throws `CommandError` with every problem in it. */
export function readFleet(path: string | undefined, env: Surroundings['env']): FleetPlan {
  const { file, path: whole, around } = readSettings(KIND, path, env);
  const named = namedIn(around, KIND);
  /** A login to the database may do without a password: by its socket. */
  const loginOf = (login: { user: string; password?: SecretPlace | undefined } | undefined) =>
    login === undefined
      ? null
      : {
          user: login.user,
          password: login.password === undefined ? null : named.secret(login.password),
        };
  const { broker, database } = file;
  const { owner, collector, reader } = database.logins;
  return {
    file: whole,
    topic: broker.topic,
    group: broker.group,
    broker: {
      url: broker.url,
      login: named.login(broker.user, broker.password),
      ca: named.ca(broker.ca),
    },
    database: {
      ...{ host: database.host, port: database.port, name: database.name },
      ca: named.ca(database.ca),
      logins: { owner: loginOf(owner), collector: loginOf(collector), reader: loginOf(reader) },
    },
  };
}
