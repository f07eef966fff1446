/**
 * A fleet under load, for `npm run bench -- fleet`: a day of many trays through broker and collector into the database,
 * alarms meanwhile, and every part killed again and again. The servers are Debian's, on loopback.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { Secret } from '../../keep/config/secret';
import { migrate } from '../database/migrate';
import type { AlarmWatchPlan } from './alarms';
import { Mosquitto } from './mosquitto';
import { Postgres } from './postgres';
import { boardOf, dayOf, shifted, TEMPLATES } from './replay';
import { FigureRoom, traysFrom } from './room';
import { pause } from './server-process';

const TOPIC = 'trayward/fleet';
const ROOM_TRAYS = 200;
const HOURS = 24;
const START_MS = Date.UTC(2026, 10, 2);
/** A commissioning comes before a day: its hours are counted with it. */
const HOURS_IN_ALL = HOURS + 2;
const SETTINGS = ["shared_buffers = '512MB'", "max_wal_size = '4GB'"];

export class Load {
  readonly folder = mkdtempSync(join(tmpdir(), 'trayward-load-'));
  readonly said: string[] = [];
  #collector: ChildProcess | null = null;
  #days: readonly Uint8Array[] = [];

  private constructor(
    readonly postgres: Postgres,
    readonly broker: Mosquitto,
    private readonly program: string,
  ) {}

  static async start(program: string): Promise<Load> {
    const postgres = await Postgres.start({ settings: SETTINGS });
    const load = new Load(postgres, await Mosquitto.start(), program);
    await migrate({
      ...{ host: '127.0.0.1', port: postgres.port, name: 'trayward', ca: null },
      logins: {
        owner: { user: 'owner', password: new Secret('owner') },
        ...{ collector: null, reader: null },
      },
    });
    load.#days = Array.from({ length: TEMPLATES }, (_, i) => dayOf(i + 1, START_MS));
    return load;
  }

  /** Rooms of trays from number `first` on, each with a store of its own. */
  rooms(first: number, trays: number): readonly FigureRoom[] {
    const rooms: FigureRoom[] = [];
    for (let done = 0; done < trays; done += ROOM_TRAYS) {
      const keeper = `room-${first + done}`;
      const count = Math.min(ROOM_TRAYS, trays - done);
      rooms.push(this.#room(keeper, first + done, count, (tray) => this.dayOf(tray)));
    }
    return rooms;
  }

  /** Alarms at other trays from now on; `end` gives how long they took, ms. */
  watchAlarms(figures: string, first: number): { end(): Promise<readonly number[]> } {
    const plan: AlarmWatchPlan = {
      ...{ url: this.broker.url, topic: TOPIC, databasePort: this.postgres.port, first },
      store: join(this.folder, 'alarms'),
    };
    const child = spawn(process.execPath, [figures, 'fleet-alarms', JSON.stringify(plan)], {
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    return {
      async end() {
        child.stdin.write('enough\n');
        const [line] = await once(createInterface({ input: child.stdout }), 'line');
        return JSON.parse(String(line));
      },
    };
  }

  #room(keeper: string, first: number, count: number, day: (tray: number) => Uint8Array) {
    const at = { url: this.broker.url, topic: TOPIC };
    const store = join(this.folder, keeper);
    return new FigureRoom(store, keeper, traysFrom(first, count, day), at, (text) =>
      this.said.push(text),
    );
  }

  dayOf(tray: number): Uint8Array {
    return shifted(this.#days[tray % TEMPLATES] ?? new Uint8Array(), tray * 1000);
  }

  /** The collector of the built program, in a process of its own; resolves once it collects. */
  async collect(): Promise<void> {
    const words = ['--json', 'fleet', 'collect', this.#file(), '--name', 'a'];
    const child = spawn(process.execPath, [this.program, ...words, '--until-stdin-closes'], {
      stdio: ['pipe', 'pipe', 'pipe'],
    });
    this.#collector = child;
    child.stderr?.on('data', (data: Buffer) => this.said.push(data.toString()));
    await new Promise<void>((resolve) => {
      createInterface({ input: child.stdout }).once('line', () => resolve());
      child.once('exit', () => resolve());
    });
  }

  async killCollector(): Promise<void> {
    const child = this.#collector;
    if (child === null) return;
    const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
    if (child.exitCode !== null || child.signalCode !== null) return;
    child.kill('SIGKILL');
    await gone;
  }

  #file(): string {
    const path = join(this.folder, 'fleet.yaml');
    writeFileSync(join(this.folder, 'collect-password'), 'collect', { mode: 0o600 });
    writeFileSync(
      path,
      `trayward-fleet: 1
broker: { url: "${this.broker.url}", topic: ${TOPIC} }
database:
  host: 127.0.0.1
  port: ${this.postgres.port}
  name: trayward
  logins: { collector: { user: collect, password: { file: collect-password } } }
`,
    );
    return path;
  }

  async number(sql: string, values: readonly unknown[] = []): Promise<number> {
    return this.postgres.as('look', async (client) => {
      const { rows } = await client.query(sql, [...values]);
      return Number(Object.values(rows[0] ?? {})[0]);
    });
  }

  /** Entries that have come of trays whose controllers are `from` or later ones. */
  covered(from: number): Promise<number> {
    return this.number(
      `SELECT coalesce(sum((SELECT sum(upper(r) - lower(r)) FROM unnest(l.covered) AS r)), 0)
        FROM fleet.lives l JOIN fleet.controllers c ON c.id = l.controller WHERE c.board >= $1`,
      [boardOf(from)],
    );
  }

  /** Of all trays of some rooms, how many are not in the database as their stores have them. */
  async differing(rooms: readonly FigureRoom[]): Promise<number> {
    const trays = rooms.flatMap((room) => room.trays);
    const found = await this.postgres.as('look', async (client) => {
      const { rows } = await client.query(
        `SELECT c.board, count(DISTINCT e.life) AS lives,
            md5(string_agg(e.packed, ''::bytea ORDER BY e.life, e.sequence)) AS md5
          FROM fleet.entries e JOIN fleet.controllers c ON c.id = e.controller GROUP BY c.board`,
      );
      return new Map(rows.map(({ board, lives, md5 }) => [board, `${lives} ${md5}`]));
    });
    return trays.filter(({ boardId, day }) => {
      const md5 = createHash('md5').update(day).digest('hex');
      return found.get(boardId) !== `1 ${md5}`;
    }).length;
  }

  /** Sends until `wanted` entries of trays from `from` on are there; s. */
  async until(rooms: readonly FigureRoom[], from: number, wanted: number): Promise<number> {
    const sinceMs = performance.now();
    for (;;) {
      for (const room of rooms) room.sender.round(room.trays);
      await pause(250);
      const there = await this.covered(from).catch(() => 0);
      if (there >= wanted) return (performance.now() - sinceMs) / 1000;
    }
  }

  async end(): Promise<void> {
    await this.killCollector();
    await Promise.all([this.postgres.stop(), this.broker.stop()]);
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** Lets the whole day into the stores, hour by hour, and sends each hour; how many entries. */
export async function sendDay(
  rooms: readonly FigureRoom[],
  each: () => Promise<void>,
): Promise<number> {
  let entries = 0;
  for (let hour = 1; hour <= HOURS_IN_ALL; hour++) {
    for (const room of rooms) {
      entries += room.hour(hour);
      room.sender.round(room.trays);
      await new Promise((resolve) => setImmediate(resolve));
    }
    await Promise.all(rooms.map((room) => room.sender.settled()));
    await each();
  }
  return entries;
}
