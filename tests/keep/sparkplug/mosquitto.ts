/**
 * Debian's mosquitto on loopback, with TLS and passwords, and what it needs to be a test: an independent listener
 * (`mosquitto_sub`), an independent host (`mosquitto_pub`), and a line that can be cut.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, connect, createServer, type Server, type Socket } from 'node:net';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { type Packet, parser } from 'mqtt-packet';
import { freePort } from '../../../cli/fleet/bench/server-process';

/** Debian keeps servers where a user's shell does not look. */
const ENV = { ...process.env, PATH: `${process.env.PATH}:/usr/sbin` };

const missing = ['mosquitto', 'mosquitto_sub', 'protoc'].filter(
  (tool) => spawnSync(tool, ['--help'], { env: ENV }).error !== undefined,
);
/** Whether there is no broker to be had here. */
export const noBroker = missing.length > 0;
if (noBroker) {
  process.stderr.write(
    `\nSKIPPED: the tests of Sparkplug at a broker, for want of ${missing.join(' and ')}.\n` +
      "Install Debian's mosquitto, mosquitto-clients and protobuf-compiler to run them.\n\n",
  );
}

const CERTIFICATES = fileURLToPath(new URL('../certificates', import.meta.url));

export const PASSWORD = 'sesame-opens-7';
/** `trays` is the keeper's; `host` reads and orders; `guest` is let in, and may do nothing. */
const USERS = ['trays', 'host', 'guest'] as const;

const ACCESS = `user trays
topic readwrite spBv1.0/#
user host
topic readwrite spBv1.0/#
`;

export interface Heard {
  readonly topic: string;
  readonly qos: number;
  readonly retain: boolean;
  readonly bytes: Buffer;
}

export class Mosquitto {
  readonly #folder = mkdtempSync(join(tmpdir(), 'trayward-mosquitto-'));
  readonly #listeners: ChildProcess[] = [];
  #broker: ChildProcess | null = null;

  private constructor(
    readonly tlsPort: number,
    readonly plainPort: number,
  ) {}

  static async start(certificate = 'server.pem'): Promise<Mosquitto> {
    const mosquitto = new Mosquitto(await freePort(), await freePort());
    mosquitto.#write(certificate);
    await mosquitto.run();
    return mosquitto;
  }

  /** Starts the broker, and returns once it listens. */
  async run(): Promise<void> {
    const child = spawn('mosquitto', ['-c', join(this.#folder, 'conf')], {
      env: ENV,
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    this.#broker = child;
    const lines = createInterface({ input: child.stderr });
    await new Promise<void>((resolve, reject) => {
      lines.on('line', (line) => {
        if (/mosquitto version .* running/.test(line)) resolve();
      });
      child.once('exit', () => reject(new Error('mosquitto did not start')));
    });
  }

  /** As a computer that is switched off. */
  async kill(): Promise<void> {
    const child = this.#broker;
    this.#broker = null;
    if (child === null || child.exitCode !== null) return;
    child.kill('SIGKILL');
    await once(child, 'exit');
  }

  /** Everything that is published from now on, as Debian's own client reads it. */
  async listen(): Promise<readonly Heard[]> {
    const heard: Heard[] = [];
    const child = spawn('mosquitto_sub', [
      ...this.#client(),
      ...['-q', '2', '--retain-as-published', '-t', 'spBv1.0/#', '-F', '%t|%q|%r|%x'],
    ]);
    this.#listeners.push(child);
    let isThere = false;
    createInterface({ input: child.stdout }).on('line', (line) => {
      const [topic = '', qos, retain, hex = ''] = line.split('|');
      isThere = true;
      if (topic === 'spBv1.0/probe') return;
      heard.push({
        ...{ topic, qos: Number(qos), retain: retain === '1' },
        bytes: Buffer.from(hex, 'hex'),
      });
    });
    while (!isThere) {
      this.publish('spBv1.0/probe', Buffer.from('?'));
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    return heard;
  }

  /** Publishes as a host does. */
  publish(topic: string, input: Uint8Array, { qos = 0, retain = false } = {}): void {
    const args = ['-t', topic, '-q', String(qos), '-s', ...(retain ? ['-r'] : [])];
    const { status, stderr } = spawnSync('mosquitto_pub', [...this.#client(), ...args], { input });
    if (status !== 0) throw new Error(`mosquitto_pub: ${stderr}`);
  }

  async stop(): Promise<void> {
    for (const child of this.#listeners) child.kill();
    await this.kill();
    rmSync(this.#folder, { recursive: true, force: true });
  }

  #client(): readonly string[] {
    return [
      ...['-h', 'localhost', '-p', String(this.tlsPort), '-V', '5'],
      ...['--cafile', join(CERTIFICATES, 'authority.pem'), '-u', 'host', '-P', PASSWORD],
    ];
  }

  #write(certificate: string): void {
    const file = (name: string): string => join(this.#folder, name);
    writeFileSync(file('access'), ACCESS, { mode: 0o600 });
    writeFileSync(file('users'), '', { mode: 0o600 });
    for (const user of USERS) {
      const { status } = spawnSync('mosquitto_passwd', ['-b', file('users'), user, PASSWORD]);
      if (status !== 0) throw new Error('mosquitto_passwd failed');
    }
    const conf = [
      `user ${userInfo().username}`,
      ...['persistence false', 'allow_anonymous false', 'log_dest stderr'],
      ...[`password_file ${file('users')}`, `acl_file ${file('access')}`],
      `listener ${this.plainPort} 127.0.0.1`,
      `listener ${this.tlsPort} 127.0.0.1`,
      `certfile ${join(CERTIFICATES, certificate)}`,
      `keyfile ${join(CERTIFICATES, 'server.key')}`,
    ];
    writeFileSync(file('conf'), `${conf.join('\n')}\n`);
  }
}

/** A line to a broker that remembers what the keeper sends, and can be cut, or go dead without a word. */
export class Line {
  /** What the keeper has sent, packet by packet. */
  readonly packets: Packet[] = [];
  readonly #sockets = new Set<Socket>();
  #isDead = false;

  private constructor(
    private readonly server: Server,
    readonly port: number,
  ) {}

  static async to(port: number): Promise<Line> {
    const server = createServer().listen(0, '127.0.0.1');
    await once(server, 'listening');
    const line = new Line(server, (server.address() as AddressInfo).port);
    server.on('connection', (near) => line.#join(near, connect(port, '127.0.0.1')));
    return line;
  }

  cut(): void {
    for (const socket of this.#sockets) socket.resetAndDestroy();
  }

  /** Nothing goes through any more, and nobody is told. */
  die(): void {
    this.#isDead = true;
  }

  revive(): void {
    this.cut();
    this.#isDead = false;
  }

  async stop(): Promise<void> {
    this.cut();
    this.server.close();
    await once(this.server, 'close');
  }

  #join(near: Socket, far: Socket): void {
    const reader = parser({ protocolVersion: 5 });
    reader.on('packet', (packet) => this.packets.push(packet));
    const from = (source: Socket, sink: Socket, heard: (bytes: Buffer) => unknown): void => {
      this.#sockets.add(source);
      source.on('error', () => undefined);
      source.on('close', () => {
        this.#sockets.delete(source);
        sink.destroy();
      });
      source.on('data', (bytes) => {
        if (this.#isDead) return;
        heard(bytes);
        sink.write(bytes);
      });
    };
    from(near, far, (bytes) => reader.parse(bytes));
    from(far, near, () => undefined);
  }
}
