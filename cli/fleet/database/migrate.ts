/** Brings the schema of a database up to this program's, step by step, each whole or not at all. */
import type { Client } from 'pg';
import { JOURNAL_KINDS } from '../../../shared/journal/codec';
import type { DatabasePlan } from '../plan';
import { connectAs, DatabaseError, databaseError, databaseName, schemaVersion } from './connect';
import { COLLECTOR_ROLE, MIGRATIONS, READER_ROLE, SCHEMA_VERSION } from './schema';

export interface Migrated {
  readonly from: number;
  readonly to: number;
}

/** Two that are started at once go one after the other. */
const LOCK = `SELECT pg_advisory_lock(hashtext('trayward.fleet.migrate'))`;

const FIRST = `
CREATE SCHEMA IF NOT EXISTS fleet;
CREATE TABLE fleet.schema_version (version int PRIMARY KEY, migrated_at timestamptz NOT NULL DEFAULT now());
CREATE TABLE fleet.kinds (kind smallint PRIMARY KEY, word text NOT NULL);
GRANT SELECT ON fleet.kinds TO ${READER_ROLE};
`;

/** What the server's administrator types once; the owner of the tables need not be able to make roles. */
const ROLES_SQL = `CREATE ROLE ${COLLECTOR_ROLE}; CREATE ROLE ${READER_ROLE};`;

/** Throws `DatabaseError`; then the steps that were done stay. */
export async function migrate(plan: DatabasePlan): Promise<Migrated> {
  const client = await connectAs(plan, 'owner');
  try {
    await client.query(LOCK);
    await refuseWithoutRoles(client, plan);
    const from = await schemaVersion(client);
    if (from > SCHEMA_VERSION) {
      throw new DatabaseError(
        'refused',
        `${databaseName(plan)} has the tables of a newer program: version ${from}, and this one knows ${SCHEMA_VERSION}.`,
        'Update this program. Nothing was changed.',
      );
    }
    for (let version = from; version < SCHEMA_VERSION; version++) await step(client, version);
    await nameKinds(client);
    await closeToOthers(client);
    return { from, to: SCHEMA_VERSION };
  } catch (error) {
    throw databaseError(plan, 'owner', error);
  } finally {
    await client.end().catch(() => undefined);
  }
}

async function refuseWithoutRoles(client: Client, plan: DatabasePlan): Promise<void> {
  const roles = [COLLECTOR_ROLE, READER_ROLE];
  const { rows } = await client.query('SELECT rolname FROM pg_roles WHERE rolname = ANY($1)', [
    roles,
  ]);
  const lacking = roles.filter((role) => !rows.some(({ rolname }) => rolname === role));
  if (lacking.length === 0) return;
  throw new DatabaseError(
    'refused',
    `${databaseName(plan)} has no role ${lacking.join(' and no role ')}.`,
    `Whoever runs the server types once: ${ROLES_SQL}`,
  );
}

async function step(client: Client, from: number): Promise<void> {
  await client.query('BEGIN');
  try {
    if (from === 0) await client.query(FIRST);
    await client.query(MIGRATIONS[from] ?? '');
    await client.query('INSERT INTO fleet.schema_version (version) VALUES ($1)', [from + 1]);
    await client.query('COMMIT');
  } catch (error) {
    await client.query('ROLLBACK').catch(() => undefined);
    throw error;
  }
}

/** The words of `kind`: a newer program may have more of them, and they only grow at their end. */
async function nameKinds(client: Client): Promise<void> {
  await client.query(
    'INSERT INTO fleet.kinds SELECT n, word FROM unnest($1::text[]) WITH ORDINALITY AS t (word, n) ON CONFLICT DO NOTHING',
    [JOURNAL_KINDS],
  );
}

/** Who is no member of these roles has no business here; only a collector needs a temporary table. */
async function closeToOthers(client: Client): Promise<void> {
  const { rows } = await client.query('SELECT quote_ident(current_database()) AS name');
  const name = String(rows[0]?.name);
  await client.query(`REVOKE ALL ON DATABASE ${name} FROM PUBLIC;
    GRANT CONNECT ON DATABASE ${name} TO ${COLLECTOR_ROLE}, ${READER_ROLE};
    GRANT TEMPORARY ON DATABASE ${name} TO ${COLLECTOR_ROLE};`);
}
