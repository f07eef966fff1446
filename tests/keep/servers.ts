/** Servers on loopback that a keeper's doors lead to: mail with TLS, a webhook, a broker. Each can be made to behave badly. */
import { readFileSync } from 'node:fs';
import { createServer, type IncomingMessage, type Server } from 'node:http';
import { type AddressInfo, createServer as createTcp, type Server as TcpServer } from 'node:net';
import { createServer as createTls } from 'node:tls';
import { Aedes } from 'aedes';
import { SMTPServer } from 'smtp-server';

const file = (name: string): string =>
  readFileSync(new URL(`./certificates/${name}`, import.meta.url), 'utf8');
export const AUTHORITY = file('authority.pem');
const KEY = file('server.key');

export const USER = 'trays';
export const PASSWORD = 'sesame-opens-7';

const listening = (server: TcpServer): Promise<number> =>
  new Promise((resolve) => {
    server.listen(0, '127.0.0.1', () => resolve((server.address() as AddressInfo).port));
  });

export interface Mail {
  readonly to: string;
  readonly subject: string;
  readonly id: string;
  readonly text: string;
  readonly raw: string;
}

/** A header of a mail, unfolded; encoded words of UTF-8 are read. */
function headerOf(raw: string, name: string): string {
  const [head = ''] = raw.split('\r\n\r\n');
  const found = new RegExp(`^${name}: (.*)$`, 'im').exec(head.replace(/\r\n[ \t]+/g, ' '))?.[1];
  return (found ?? '')
    .replace(/\?=\s+=\?/g, '?==?')
    .replace(/=\?UTF-8\?([QB])\?([^?]*)\?=/gi, (_, how: string, text: string) =>
      how.toUpperCase() === 'B'
        ? Buffer.from(text, 'base64').toString()
        : unquoted(text.replaceAll('_', ' ')),
    );
}

/** Quoted-printable of UTF-8 as text. */
const unquoted = (text: string): string =>
  Buffer.from(
    text
      .replace(/=\r\n/g, '')
      .replace(/=([0-9A-F]{2})/gi, (_, hex: string) =>
        String.fromCharCode(Number.parseInt(hex, 16)),
      ),
    'latin1',
  ).toString();

function mailOf(raw: string, to: string): Mail {
  const at = raw.indexOf('\r\n\r\n');
  const body = raw.slice(at + 4).replaceAll('\r\n', '\n');
  const encoding = headerOf(raw, 'Content-Transfer-Encoding').toLowerCase();
  const text =
    encoding === 'quoted-printable'
      ? unquoted(raw.slice(at + 4)).replaceAll('\r\n', '\n')
      : encoding === 'base64'
        ? Buffer.from(body, 'base64').toString()
        : body;
  return { to, raw, text, subject: headerOf(raw, 'Subject'), id: headerOf(raw, 'Message-ID') };
}

export interface MailOptions {
  /** Of `certificates/`. */
  readonly certificate?: 'server.pem' | 'expired.pem';
  /** Refuses each message so many times before it takes it. */
  readonly greylist?: number;
  /** Refuses user and password, and quotes both back. */
  readonly quotesSecrets?: boolean;
}

/** A mail server with TLS from the first byte. */
export class MailServer {
  readonly mails: Mail[] = [];
  /** Recipients that it was asked for, the refused ones too. */
  asked = 0;
  readonly #refused = new Map<string, number>();

  private constructor(
    private readonly server: SMTPServer,
    readonly port: number,
  ) {}

  static async start(options: MailOptions = {}): Promise<MailServer> {
    const { certificate = 'server.pem', greylist = 0, quotesSecrets = false } = options;
    let self: MailServer | null = null;
    const server = new SMTPServer({
      ...{ secure: true, key: KEY, cert: file(certificate), logger: false },
      authMethods: ['PLAIN', 'LOGIN'],
      onAuth({ username = '', password = '' }, _session, done) {
        if (quotesSecrets) {
          const sent = Buffer.from(`\0${username}\0${password}`).toString('base64');
          done(new Error(`no entry for ${password} (${sent})`));
        } else if (username === USER && password === PASSWORD) done(null, { user: username });
        else done(new Error('wrong password'));
      },
      onRcptTo({ address }, _session, done) {
        if (self === null) return;
        self.asked += 1;
        const times = self.#refused.get(address) ?? 0;
        self.#refused.set(address, times + 1);
        if (times >= greylist) done();
        else done(Object.assign(new Error('greylisted, come again'), { responseCode: 451 }));
      },
      onData(stream, { envelope }, done) {
        const parts: Buffer[] = [];
        stream.on('data', (part: Buffer) => parts.push(part));
        stream.on('end', () => {
          const to = envelope.rcptTo.map(({ address }) => address).join(',');
          self?.mails.push(mailOf(Buffer.concat(parts).toString(), to));
          done();
        });
      },
    });
    server.on('error', () => undefined);
    await new Promise<void>((resolve) => {
      server.listen(0, '127.0.0.1', () => resolve());
    });
    self = new MailServer(server, (server.server.address() as AddressInfo).port);
    return self;
  }

  stop(): Promise<void> {
    return new Promise((resolve) => this.server.close(() => resolve()));
  }
}

export interface Post {
  readonly headers: IncomingMessage['headers'];
  readonly body: string;
}

/** A webhook receiver; `answer` says how the next ones are answered. */
export class Receiver {
  readonly posts: Post[] = [];
  answer: { readonly status: number; readonly text?: string; readonly retryAfter?: string } = {
    status: 204,
  };

  private constructor(
    private readonly server: Server,
    readonly port: number,
  ) {}

  static async start(): Promise<Receiver> {
    let self: Receiver | null = null;
    const server = createServer((request, response) => {
      let body = '';
      request.on('data', (part: Buffer) => (body += part.toString()));
      request.on('end', () => {
        const { status = 500, text = '', retryAfter } = self?.answer ?? {};
        self?.posts.push({ headers: request.headers, body });
        response.writeHead(status, retryAfter === undefined ? {} : { 'retry-after': retryAfter });
        response.end(text);
      });
    });
    self = new Receiver(server, await listening(server));
    return self;
  }

  get url(): string {
    return `http://127.0.0.1:${this.port}/hook`;
  }

  /** Those that were answered with success. */
  get subjects(): readonly string[] {
    return this.posts.map(({ body }) => JSON.parse(body).data.subject);
  }

  stop(): Promise<void> {
    this.server.closeAllConnections();
    return new Promise((resolve) => this.server.close(() => resolve()));
  }
}

/** A broker with TLS that wants user and password. */
export class Broker {
  /** What was published, by topic, the newest last. */
  readonly heard: { readonly topic: string; readonly text: string; readonly retain: boolean }[] =
    [];
  letsIn = true;

  private constructor(
    private readonly aedes: Aedes,
    private readonly server: TcpServer,
    readonly port: number,
  ) {}

  static async start({ tls = true } = {}): Promise<Broker> {
    const aedes = await Aedes.createBroker();
    const server = tls
      ? createTls({ key: KEY, cert: file('server.pem') }, (socket) => void aedes.handle(socket))
      : createTcp((socket) => void aedes.handle(socket));
    const broker = new Broker(aedes, server, await listening(server));
    aedes.authenticate = (_client, user, password, done) => {
      const isRight = user === USER && password?.toString() === PASSWORD;
      done(null, broker.letsIn && (isRight || !tls));
    };
    aedes.on('publish', ({ topic, payload, retain }, client) => {
      if (client !== null || topic.endsWith('/keeper'))
        broker.heard.push({ topic, text: payload.toString(), retain });
    });
    return broker;
  }

  /** Cuts every line, as a network that goes away. */
  cut(): void {
    for (const client of Object.values(Object(this.aedes).clients)) Object(client).conn?.destroy();
  }

  async stop(): Promise<void> {
    await new Promise<void>((resolve) => this.aedes.close(() => resolve()));
    await new Promise<void>((resolve) => this.server.close(() => resolve()));
  }
}
