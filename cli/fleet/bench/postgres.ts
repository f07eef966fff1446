/** Debian's PostgreSQL on loopback, in a folder of its own, for tests and figures: started, killed, started again. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import {
  chmodSync,
  chownSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Client } from 'pg';
import { ended, freePort, until } from './server-process';

const POSTGRES = '/usr/lib/postgresql';
const ROOT = 0;

/** Folder of the newest PostgreSQL's programs; null where there is none. */
export function postgresPrograms(): string | null {
  if (!existsSync(POSTGRES)) return null;
  const versions = readdirSync(POSTGRES).sort((a, b) => Number(b) - Number(a));
  const found = versions.map((version) => join(POSTGRES, version, 'bin'));
  return found.find((folder) => existsSync(join(folder, 'initdb'))) ?? null;
}

interface User {
  readonly uid?: number;
  readonly gid?: number;
}

/** PostgreSQL does not run as root: then it runs as the user that Debian has for it. */
function serverUser(): User {
  if (process.getuid?.() !== ROOT) return {};
  const id = (flag: string): number => Number(execFileSync('id', [flag, 'postgres']).toString());
  return { uid: id('-u'), gid: id('-g') };
}

export interface PostgresOptions {
  /** Lines of postgresql.conf. */
  readonly settings?: readonly string[];
}

const ADMIN = 'admin';

export class Postgres {
  #child: ChildProcess | null = null;

  private constructor(
    private readonly programs: string,
    readonly folder: string,
    readonly port: number,
    private readonly user: User,
  ) {}

  /** A new server with the roles of a fleet: `owner`, `collect`, `look`, each with its own name as password. */
  static async start({ settings = [] }: PostgresOptions = {}): Promise<Postgres> {
    const programs = postgresPrograms();
    if (programs === null) throw new Error('postgresql is not installed');
    const folder = mkdtempSync(join(tmpdir(), 'trayward-postgres-'));
    const user = serverUser();
    if (user.uid !== undefined && user.gid !== undefined) chownSync(folder, user.uid, user.gid);
    const data = join(folder, 'data');
    execFileSync(
      join(programs, 'initdb'),
      [
        '-D',
        data,
        '-U',
        ADMIN,
        '-A',
        'scram-sha-256',
        '--pwfile',
        passwordFile(folder),
        '--no-sync',
        '-E',
        'UTF8',
        '--locale=C',
      ],
      { ...user, stdio: ['ignore', 'ignore', 'inherit'], cwd: folder },
    );
    const port = await freePort();
    writeFileSync(
      join(data, 'postgresql.auto.conf'),
      [
        `listen_addresses = '127.0.0.1'`,
        `port = ${port}`,
        `unix_socket_directories = '${folder}'`,
        ...settings,
      ].join('\n'),
    );
    const server = new Postgres(programs, folder, port, user);
    await server.run();
    await server.as(null, async (client) => {
      for (const sql of SETUP) await client.query(sql);
    });
    return server;
  }

  /** Starts it on what is there. */
  async run(): Promise<void> {
    this.#child = spawn(join(this.programs, 'postgres'), ['-D', join(this.folder, 'data')], {
      ...this.user,
      cwd: this.folder,
      stdio: 'ignore',
    });
    await until(async () => {
      try {
        await this.as(null, async () => {});
        return true;
      } catch {
        return false;
      }
    }, 'postgresql');
  }

  /** kill -9 of all of its processes, as a power cut is to it. */
  async kill(): Promise<void> {
    const child = this.#child;
    this.#child = null;
    if (child?.pid === undefined) return;
    const children = childrenOf(child.pid);
    child.kill('SIGKILL');
    for (const pid of children) killed(pid);
    await ended(child);
    await until(async () => children.every((pid) => !existsSync(`/proc/${pid}/stat`)), 'the end');
  }

  async stop(): Promise<void> {
    const child = this.#child;
    this.#child = null;
    if (child !== null) {
      child.kill('SIGQUIT');
      await ended(child);
    }
    rmSync(this.folder, { recursive: true, force: true });
  }

  /** A connection for `work`, as a user of that name; null is the administrator. */
  async as<T>(
    user: string | null,
    work: (client: Client) => Promise<T>,
    database = user === null ? 'postgres' : 'trayward',
  ): Promise<T> {
    const login = { user: user ?? ADMIN, password: user ?? ADMIN };
    const client = new Client({ host: '127.0.0.1', port: this.port, database, ...login });
    client.on('error', () => undefined);
    await client.connect();
    try {
      return await work(client);
    } finally {
      await client.end();
    }
  }
}

const SETUP: readonly string[] = [
  'CREATE ROLE trayward_collector',
  'CREATE ROLE trayward_reader',
  `CREATE ROLE owner LOGIN PASSWORD 'owner'`,
  `CREATE ROLE collect LOGIN PASSWORD 'collect' IN ROLE trayward_collector`,
  `CREATE ROLE look LOGIN PASSWORD 'look' IN ROLE trayward_reader`,
  'CREATE DATABASE trayward OWNER owner',
];

function passwordFile(folder: string): string {
  const path = join(folder, 'password');
  writeFileSync(path, ADMIN);
  chmodSync(path, 0o644);
  return path;
}

/** Processes that another one has started. */
function childrenOf(pid: number): readonly number[] {
  const path = `/proc/${pid}/task/${pid}/children`;
  if (!existsSync(path)) return [];
  return readFileSync(path, 'utf8').trim().split(' ').filter(Boolean).map(Number);
}

function killed(pid: number): void {
  try {
    process.kill(pid, 'SIGKILL');
  } catch {
    // It had ended by itself.
  }
}
