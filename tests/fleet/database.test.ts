/** The database of a fleet: who may do what in it, its versions, and how it is told that it cannot be used. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Postgres } from '../../cli/fleet/bench/postgres';
import { openDatabase } from '../../cli/fleet/database/connect';
import { migrate } from '../../cli/fleet/database/migrate';
import { SCHEMA_VERSION } from '../../cli/fleet/database/schema';
import type { DatabasePlan } from '../../cli/fleet/plan';
import { Secret } from '../../cli/keep/config/secret';
import { databasePlan, HAS_SERVERS } from './fleet';

describe.skipIf(!HAS_SERVERS)('the database of a fleet', () => {
  let postgres: Postgres;
  beforeAll(async () => {
    postgres = await Postgres.start();
  });
  afterAll(() => postgres.stop());

  const plan = (changes: Partial<DatabasePlan> = {}): DatabasePlan =>
    databasePlan(postgres.port, changes);
  const why = (of: DatabasePlan, role: 'collector' | 'reader' = 'collector') =>
    openDatabase(of, role).then(
      () => 'open',
      (error) => `${error.message} ${error.next}`,
    );
  /** PostgreSQL's code of what it says to a statement. */
  const refusal = (user: string, sql: string) =>
    postgres.as(user, (client) =>
      client.query(sql).then(
        () => 'done',
        ({ code }) => code,
      ),
    );
  const DENIED = '42501';

  it('is told to be empty before it has tables, which two owners at once make once', async () => {
    expect(await why(plan())).toContain(
      'has no tables of a fleet yet. Do `trayward fleet migrate`',
    );
    const both = await Promise.all([migrate(plan()), migrate(plan())]);
    expect(both.map(({ from }) => from).sort()).toEqual([0, SCHEMA_VERSION]);
    expect(await migrate(plan())).toEqual({ from: SCHEMA_VERSION, to: SCHEMA_VERSION });
    expect(await why(plan())).toBe('open');
  });

  it.each([
    'INSERT INTO fleet.latest VALUES (1, 1, 1, 1, 1, 1, 1, 1, now())',
    'UPDATE fleet.controllers SET tray = $$x$$',
    'DELETE FROM fleet.entries',
    'TRUNCATE fleet.alarms',
    'CREATE TABLE fleet.more (a int)',
    'CREATE TEMPORARY TABLE more (a int)',
    'DROP TABLE fleet.clocks',
    'SELECT fleet.due_asks(1)',
  ])('lets a reader read alone: %s', async (sql) => {
    expect(await refusal('look', sql)).toBe(DENIED);
  });

  it.each([
    'SELECT * FROM fleet.entries',
    'SELECT * FROM fleet.readings',
    'SELECT * FROM fleet.alarms_now',
    'SELECT * FROM fleet.profiles',
    'UPDATE fleet.entries SET boot = 1',
    'DELETE FROM fleet.entries',
    'TRUNCATE fleet.entries',
    'DROP TABLE fleet.entries',
    'CREATE TABLE fleet.more (a int)',
    'INSERT INTO fleet.lives SELECT * FROM fleet.lives',
    'SELECT fleet.make_partition($$2026-11-30$$)',
  ])('lets a collector add alone: %s', async (sql) => {
    expect(await refusal('collect', sql)).toBe(DENIED);
  });

  it('lets a reader see everything that is asked of it, and nobody else in', async () => {
    expect(await refusal('look', 'SELECT * FROM fleet.readings, fleet.alarms_now')).toBe('done');
    await postgres.as(null, (client) => client.query(`CREATE ROLE other LOGIN PASSWORD 'other'`));
    await expect(postgres.as('other', async () => {})).rejects.toMatchObject({ code: DENIED });
  });

  it('is not used by a program of another version, and says which is to be updated', async () => {
    const version = (sql: string) => postgres.as('owner', (client) => client.query(sql));
    await version(`INSERT INTO fleet.schema_version (version) VALUES (${SCHEMA_VERSION + 1})`);
    expect(await why(plan())).toContain('has the tables of a newer program');
    await expect(migrate(plan())).rejects.toThrow('newer program');
    await version(`DELETE FROM fleet.schema_version WHERE version >= ${SCHEMA_VERSION}`);
    expect(await why(plan())).toContain(
      'older program: version 1, and this one needs 2. Do `trayward',
    );
    await version(`INSERT INTO fleet.schema_version (version) VALUES (${SCHEMA_VERSION})`);
  });

  it('says in plain words why it lets nobody in, and never a password', async () => {
    const login = { user: 'collect', password: new Secret('sesame-opens-7') };
    const wrong = plan({ logins: { owner: null, collector: login, reader: null } });
    expect(await why(wrong)).toMatch(/takes another password from collect\. Put the right one/);
    expect(await why(wrong, 'reader')).toContain('The file has no login of the reader.');
    expect(await why(plan({ name: 'elsewhere' }))).toContain('There is no such database.');
    expect(await why(plan({ port: 1 }))).toContain(
      'Nothing listens there. See that the server runs',
    );
    expect(await why(plan({ host: '/nowhere' }))).toContain('Nothing listens there.');
    const told = await Promise.all([wrong, plan({ port: 1 })].map((one) => why(one)));
    expect(told.join()).not.toContain('sesame');
  });

  it('says what its administrator has to do where the roles are not there', async () => {
    const other = await Postgres.start();
    try {
      await other.as(null, (client) =>
        client.query('DROP ROLE collect, look, trayward_collector, trayward_reader'),
      );
      await expect(migrate(databasePlan(other.port))).rejects.toMatchObject({
        message: expect.stringContaining('no role trayward_collector and no role trayward_reader'),
        next: expect.stringContaining(
          'CREATE ROLE trayward_collector; CREATE ROLE trayward_reader;',
        ),
      });
    } finally {
      await other.stop();
    }
  });
});
