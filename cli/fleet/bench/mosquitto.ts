/** Debian's Mosquitto on loopback, in a folder of its own, for tests and figures: started, killed, started again. */
import { type ChildProcess, spawn } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ended, freePort, listens, until } from './server-process';

const PROGRAMS = ['/usr/sbin/mosquitto', '/usr/bin/mosquitto', '/usr/local/sbin/mosquitto'];

/** Path of the broker's program; null where there is none. */
export const mosquittoProgram = (): string | null =>
  PROGRAMS.find((path) => existsSync(path)) ?? null;

export class Mosquitto {
  #child: ChildProcess | null = null;

  private constructor(
    private readonly program: string,
    readonly folder: string,
    readonly port: number,
  ) {}

  /** A new broker; `settings`: lines of its file. */
  static async start(settings: readonly string[] = ['allow_anonymous true']): Promise<Mosquitto> {
    const program = mosquittoProgram();
    if (program === null) throw new Error('mosquitto is not installed');
    const folder = mkdtempSync(join(tmpdir(), 'trayward-mosquitto-'));
    chmodSync(folder, 0o777);
    mkdirSync(join(folder, 'data'), { mode: 0o777 });
    chmodSync(join(folder, 'data'), 0o777);
    const port = await freePort();
    writeFileSync(
      join(folder, 'mosquitto.conf'),
      [
        `listener ${port} 127.0.0.1`,
        'persistence true',
        `persistence_location ${join(folder, 'data')}/`,
        ...BROKER_SETTINGS,
        ...settings,
        '',
      ].join('\n'),
    );
    const broker = new Mosquitto(program, folder, port);
    await broker.run();
    return broker;
  }

  get url(): string {
    return `mqtt://127.0.0.1:${this.port}`;
  }

  get pid(): number {
    return this.#child?.pid ?? 0;
  }

  /** Starts it on what is there. */
  async run(): Promise<void> {
    this.#child = spawn(this.program, ['-c', join(this.folder, 'mosquitto.conf')], {
      stdio: 'ignore',
    });
    await until(() => listens(this.port), 'mosquitto');
  }

  async kill(): Promise<void> {
    const child = this.#child;
    this.#child = null;
    if (child === null) return;
    child.kill('SIGKILL');
    await ended(child);
  }

  async stop(): Promise<void> {
    await this.kill();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** What a broker of a fleet needs: the usual limits drop what a collector has not acknowledged yet. */
export const BROKER_SETTINGS: readonly string[] = [
  'max_inflight_messages 0',
  'max_queued_messages 0',
  'autosave_interval 60',
];
