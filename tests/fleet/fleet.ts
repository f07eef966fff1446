/** A fleet in this process: Debian's broker and database, keepers that send from stores, and collectors. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Mosquitto, mosquittoProgram } from '../../cli/fleet/bench/mosquitto';
import { Postgres, postgresPrograms } from '../../cli/fleet/bench/postgres';
import { boardOf, dayOf, intoStore, shifted } from '../../cli/fleet/bench/replay';
import type { Counts } from '../../cli/fleet/collect/lane';
import { Session } from '../../cli/fleet/collect/session';
import { migrate } from '../../cli/fleet/database/migrate';
import type { DatabasePlan, FleetPlan } from '../../cli/fleet/plan';
import { JournalSender, type SentTray } from '../../cli/fleet/sending/sender';
import { Secret } from '../../cli/keep/config/secret';
import { ENTRY_BYTES } from '../../shared/journal/codec';

export const HAS_SERVERS = mosquittoProgram() !== null && postgresPrograms() !== null;
if (!HAS_SERVERS) {
  console.warn('mosquitto or postgresql is not installed: the tests of a fleet are skipped');
}

export const START_MS = Date.UTC(2026, 10, 2, 6);

let day: Uint8Array | null = null;
/** Six hours at a tray, as the firmware wrote them; made once. */
export function entriesOf(tray: number): Uint8Array {
  day ??= dayOf(5, START_MS, 6);
  return shifted(day, tray * 1000);
}

export const countOf = (bytes: Uint8Array): number => bytes.length / ENTRY_BYTES;

export const databasePlan = (port: number, changes: Partial<DatabasePlan> = {}): DatabasePlan => {
  const login = (user: string) => ({ user, password: new Secret(user) });
  return {
    ...{ host: '127.0.0.1', port, name: 'trayward', ca: null },
    logins: { owner: login('owner'), collector: login('collect'), reader: login('look') },
    ...changes,
  };
};

export class Fleet {
  readonly folder = mkdtempSync(join(tmpdir(), 'trayward-fleet-'));
  readonly said: string[] = [];
  /** Tests share a broker that forgets nothing: each has topics and names of its own. */
  #test = 0;
  readonly #senders: JournalSender[] = [];
  readonly #sessions: Session[] = [];

  private constructor(
    readonly postgres: Postgres,
    readonly broker: Mosquitto,
  ) {}

  static async start(): Promise<Fleet> {
    // A killed server takes nothing from the system's memory: to write it all to the disk is for power cuts.
    const settings = ['fsync = off'];
    const [postgres, broker] = await Promise.all([Postgres.start({ settings }), Mosquitto.start()]);
    const fleet = new Fleet(postgres, broker);
    await migrate(fleet.plan.database);
    return fleet;
  }

  get plan(): FleetPlan {
    return {
      ...{ file: 'fleet.yaml', topic: `trayward/fleet-${this.#test}`, group: `test-${this.#test}` },
      broker: { url: this.broker.url, login: null, ca: null },
      database: databasePlan(this.postgres.port),
    };
  }

  /** The fleet's file, with all logins; `change` alters its text. */
  file(change: (text: string) => string = (text) => text): string {
    const path = join(this.folder, 'fleet.yaml');
    const login = (user: string): string => {
      writeFileSync(join(this.folder, `${user}-password`), user, { mode: 0o600 });
      return `{ user: ${user}, password: { file: ${user}-password } }`;
    };
    mkdirSync(this.folder, { recursive: true });
    const { topic, group } = this.plan;
    const text = `trayward-fleet: 1
broker: { url: "${this.broker.url}", topic: ${topic}, group: ${group} }
database:
  host: 127.0.0.1
  port: ${this.postgres.port}
  name: trayward
  logins:
    owner: ${login('owner')}
    collector: ${login('collect')}
    reader: ${login('look')}
`;
    writeFileSync(path, change(text));
    return path;
  }

  /** Entries of a tray into the store of a keeper. */
  store(keeper: string, tray: number, bytes: Uint8Array, life = 1): SentTray {
    intoStore(this.storeOf(keeper), boardOf(tray), bytes, life);
    return { name: `Tray ${tray}`, boardId: boardOf(tray) };
  }

  storeOf(keeper: string): string {
    return join(this.folder, keeper);
  }

  sender(keeper: string): JournalSender {
    const sender = new JournalSender(
      { broker: this.plan.broker, topic: this.plan.topic, keeper },
      {
        store: this.storeOf(keeper),
        steadyMs: () => performance.now(),
        say: (text) => this.said.push(text),
      },
    );
    this.#senders.push(sender);
    return sender;
  }

  async collect(
    name: string,
    counts: Counts = { entries: 0, known: 0, refused: 0 },
  ): Promise<Session> {
    const session = await Session.open({
      ...{ plan: this.plan, name, counts, now: () => Date.now() },
      say: (text) => this.said.push(text),
    });
    this.#sessions.push(session);
    return session;
  }

  /** The first column of the first row of what a reader asks. */
  ask(sql: string, values: readonly unknown[] = []): Promise<unknown> {
    return this.postgres.as('look', async (client) => {
      const { rows } = await client.query(sql, [...values]);
      return Object.values(rows[0] ?? {})[0];
    });
  }

  async rows(): Promise<number> {
    return Number(await this.ask('SELECT count(*) FROM fleet.entries'));
  }

  /** Between two tests: nobody sends or collects, nothing is stored. */
  async clear(): Promise<void> {
    await Promise.all(this.#senders.splice(0).map((sender) => sender.close()));
    await Promise.all(this.#sessions.splice(0).map((session) => session.close()));
    rmSync(this.folder, { recursive: true, force: true });
    this.said.splice(0);
    this.#test += 1;
    await this.postgres.as('owner', (client) =>
      client.query(
        'TRUNCATE fleet.entries, fleet.clocks, fleet.alarms, fleet.latest, fleet.blocks, fleet.marks, fleet.profiles, fleet.lives, fleet.controllers',
      ),
    );
  }

  async end(): Promise<void> {
    await Promise.all(this.#senders.map((sender) => sender.close()));
    await Promise.all(this.#sessions.map((session) => session.close()));
    await Promise.all([this.postgres.stop(), this.broker.stop()]);
    rmSync(this.folder, { recursive: true, force: true });
  }
}
