/** A line to the database, and in plain words why there is none. */
import { Client, type ClientConfig } from 'pg';
import { hiding } from '../../keep/config/secret';
import { quoted, reasonOf } from '../../keep/doors/door';
import { DOOR_LIMITS } from '../../keep/limits';
import { COLLECT_LIMITS } from '../limits';
import type { DatabasePlan, DatabaseRole } from '../plan';
import { SCHEMA_VERSION } from './schema';

/** `gone`: it may be there again later. `refused`: somebody has to do something. `data`: it does not take these very rows. */
export class DatabaseError extends Error {
  constructor(
    readonly kind: 'gone' | 'refused' | 'data',
    message: string,
    readonly next: string,
    /** PostgreSQL's code of it; null where it never got so far. */
    readonly code: string | null = null,
  ) {
    super(message);
    this.name = 'DatabaseError';
  }
}

/** Where a database is, for sentences. */
export const databaseName = ({ name, host, port }: DatabasePlan): string =>
  `The database "${name}" at ${host}:${port}`;

function configOf(plan: DatabasePlan, role: DatabaseRole): ClientConfig {
  const login = plan.logins[role];
  if (login === null) {
    throw new DatabaseError(
      'refused',
      `The file has no login of the ${role}.`,
      `Add \`${role}: { user: ..., password: { file: ... } }\` under \`database: logins:\`.`,
    );
  }
  const { answerMostMs } = COLLECT_LIMITS;
  return {
    ...{ host: plan.host, port: plan.port, database: plan.name, user: login.user },
    ...(login.password === null ? {} : { password: login.password.reveal() }),
    ...(plan.ca === null ? {} : { ssl: { ca: plan.ca, rejectUnauthorized: true } }),
    ...{ connectionTimeoutMillis: answerMostMs, keepAlive: true },
    // Twice: the server ends what takes long, and this end does not wait for a server that has gone.
    ...{ statement_timeout: answerMostMs * 3, query_timeout: answerMostMs * 4 },
    application_name: `trayward fleet (${role})`,
  };
}

/** A connection as one of the roles, its schema of any version. Throws `DatabaseError`. */
export async function connectAs(plan: DatabasePlan, role: DatabaseRole): Promise<Client> {
  const client = new Client(configOf(plan, role));
  // A connection that is cut while nobody asks is told when somebody does.
  client.on('error', () => undefined);
  try {
    await client.connect();
    return client;
  } catch (error) {
    await client.end().catch(() => undefined);
    throw databaseError(plan, role, error);
  }
}

/** The same, once its schema is known to be the one that this program works with. */
export async function openDatabase(plan: DatabasePlan, role: DatabaseRole): Promise<Client> {
  const client = await connectAs(plan, role);
  try {
    refuseOtherVersion(plan, await schemaVersion(client));
    return client;
  } catch (error) {
    await client.end().catch(() => undefined);
    throw databaseError(plan, role, error);
  }
}

/** The version of the schema; 0 where there is none. */
export async function schemaVersion(client: Client): Promise<number> {
  const { rows } = await client.query(`SELECT to_regclass('fleet.schema_version') AS there`);
  if (rows[0]?.there === null) return 0;
  const found = await client.query('SELECT max(version) AS version FROM fleet.schema_version');
  return Number(found.rows[0]?.version ?? 0);
}

function refuseOtherVersion(plan: DatabasePlan, version: number): void {
  if (version === SCHEMA_VERSION) return;
  const where = databaseName(plan);
  if (version > SCHEMA_VERSION) {
    throw new DatabaseError(
      'refused',
      `${where} has the tables of a newer program: version ${version}, and this one knows ${SCHEMA_VERSION}.`,
      'Update this program.',
    );
  }
  throw new DatabaseError(
    'refused',
    version === 0
      ? `${where} has no tables of a fleet yet.`
      : `${where} has the tables of an older program: version ${version}, and this one needs ${SCHEMA_VERSION}.`,
    'Do `trayward fleet migrate` with the login of the owner.',
  );
}

interface Words {
  readonly why: string;
  readonly next: string;
}

const SERVER = 'Whoever runs the server can help; `cli/fleet/README.md` says what is needed once.';

/** PostgreSQL's codes that somebody can do something about. */
const REFUSALS: Readonly<Record<string, (user: string) => Words>> = {
  '28P01': (user) => ({
    why: `It takes another password from ${user}.`,
    next: 'Put the right one into the file that `password:` names.',
  }),
  '28000': (user) => ({
    why: `It does not let ${user} in.`,
    next: `See that there is such a login, and a line for it in pg_hba.conf. ${SERVER}`,
  }),
  '3D000': () => ({ why: 'There is no such database.', next: `Make it. ${SERVER}` }),
  '42501': (user) => ({
    why: `${user} has not the right to do that.`,
    next: `See which role its login is a member of. ${SERVER}`,
  }),
  '53300': () => ({
    why: 'It has no connection left.',
    next: 'Raise max_connections, or end what holds them.',
  }),
};

/** What goes by with a server that is put right: it is stopped, full, or was cut off. */
const LATER = /^(08|53|57|58|40|55|25|XX)/;
/** What these very rows break. */
const OF_DATA = /^(22|23)/;

/** Whatever was thrown, in plain words. */
export function databaseError(
  plan: DatabasePlan,
  role: DatabaseRole,
  error: unknown,
): DatabaseError {
  if (error instanceof DatabaseError) return error;
  const login = plan.logins[role];
  const { code, message = String(error) } = Object(error);
  const hide = hiding([login?.password?.reveal() ?? '']);
  const told = quoted(hide(String(message)), DOOR_LIMITS.quoteChars);
  const where = databaseName(plan);
  const sqlState = typeof code === 'string' && /^[0-9A-Z]{5}$/.test(code) ? code : null;
  const known = REFUSALS[sqlState ?? '']?.(login?.user ?? role);
  if (known !== undefined) {
    const kind = sqlState === '53300' ? 'gone' : 'refused';
    return new DatabaseError(kind, `${where}: ${known.why}`, known.next, sqlState);
  }
  if (sqlState === '53100') {
    return new DatabaseError(
      'gone',
      `${where}: its disk is full.`,
      'Free some space there: what waits is stored then.',
      sqlState,
    );
  }
  if (sqlState !== null && OF_DATA.test(sqlState)) {
    return new DatabaseError(
      'data',
      `${where}: ${told}.`,
      'Tell the authors of this program.',
      sqlState,
    );
  }
  if (sqlState !== null && !LATER.test(sqlState)) {
    return new DatabaseError('refused', `${where}: ${told}.`, SERVER, sqlState);
  }
  const why = isSocketGone(code) ? 'Nothing listens there.' : reasonOf(error);
  return new DatabaseError(
    'gone',
    `${where} cannot be used. ${why ?? `${told}.`}`,
    'See that the server runs, and that `host:` and `port:` are right.',
    sqlState,
  );
}

/** A socket's file goes away with its server. */
const isSocketGone = (code: unknown): boolean => code === 'ENOENT';
