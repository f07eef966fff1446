/** What is wrong between the values of a fleet's file: passwords without TLS, secrets that cannot be read. */
import type { SourcePath } from '../../../shared/profile/host/problem';
import {
  type AcrossProblem,
  certificateProblems,
  hostOf,
  type Surroundings,
  secretProblems,
} from '../../keep/config/across';
import { isHere } from '../../keep/config/open-doors';
import { DATABASE_ROLES } from '../plan';

/** Every problem of the kind, in no order. */
export function acrossFleet(file: unknown, around: Surroundings): readonly AcrossProblem[] {
  const { broker, database } = Object(file);
  const logins: unknown = Object(database).logins;
  const places = [
    { path: ['broker'], value: broker as unknown },
    ...DATABASE_ROLES.map((role) => ({
      path: ['database', 'logins', role],
      value: Object(logins)[role] as unknown,
    })),
  ];
  return [
    ...places.flatMap((place) => secretProblems(place, ['password'], around)),
    ...certificateProblems({ path: ['broker'], value: broker }, around),
    ...certificateProblems({ path: ['database'], value: database }, around),
    ...brokerProblems(broker),
    ...databaseProblems(database),
  ];
}

const problem = (path: SourcePath, why: string): readonly AcrossProblem[] => [{ path, why }];

function brokerProblems(broker: unknown): readonly AcrossProblem[] {
  const { url, user, password } = Object(broker);
  const isOpen = typeof url === 'string' && url.startsWith('mqtt://') && !isHere(hostOf(url));
  return [
    ...(isOpen
      ? problem(
          ['broker', 'url'],
          'Without TLS anybody on the way reads along: that is allowed only for this computer (127.0.0.1). Write mqtts://.',
        )
      : []),
    ...((user === undefined) === (password === undefined)
      ? []
      : problem(
          ['broker', user === undefined ? 'user' : 'password'],
          'A user has a password, and a password a user: one is missing.',
        )),
  ];
}

function databaseProblems(database: unknown): readonly AcrossProblem[] {
  const { host, ca, logins } = Object(database);
  const isFar = typeof host === 'string' && !host.startsWith('/') && !isHere(host);
  const hasNone = DATABASE_ROLES.every((role) => Object(logins)[role] === undefined);
  return [
    ...(isFar && ca === undefined
      ? problem(
          ['database', 'ca'],
          'Over a network the database is spoken to with TLS alone: name the file of the certificate that its server is signed by, as "ca:".',
        )
      : []),
    ...(hasNone && typeof logins === 'object'
      ? problem(['database', 'logins'], 'Give at least one login: owner, collector or reader.')
      : []),
  ];
}
