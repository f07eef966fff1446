/**
 * Receives from a broker by MQTT 5, and acknowledges when it is told to: a collector does so once the database has
 * committed. (The `mqtt` library reads its next packet only after it has acknowledged the last: one message a commit.)
 */
import { connect as connectTcp, isIP, type Socket } from 'node:net';
import { connect as connectTls } from 'node:tls';
import {
  generate,
  type IConnackPacket,
  type IPublishPacket,
  type Packet,
  parser,
} from 'mqtt-packet';
import { COLLECT_LIMITS, WIRE_LIMITS } from '../limits';
import type { BrokerPlan } from '../plan';
import { BrokerError, refusalOf } from './refusal';

export interface Received {
  readonly topic: string;
  readonly payload: Buffer;
  /** Tells the broker that it need not send this again. */
  acknowledge(): void;
}

export interface ReceiverOptions {
  readonly clientId: string;
  /** Topic filters. */
  readonly topics: readonly string[];
  /** Messages that may be sent ahead of their acknowledgement. */
  readonly aheadMost: number;
  /** How long the broker keeps what is not acknowledged, s; 0 begins anew each time. */
  readonly sessionS: number;
  readonly take: (message: Received) => void;
  /** The line is gone; called once, and not after `close`. */
  readonly lost: (why: BrokerError) => void;
}

const OPTIONS = { protocolVersion: 5 } as const;
const FIRST_ID = 1;
/** Bits of the reason code that say no (MQTT 5, 2.4). */
const REFUSED = 0x80;

export class Receiver {
  readonly #parser = parser(OPTIONS);
  #ended = false;
  /** Since when nothing has come. */
  #heardMs = performance.now();
  #pinging: NodeJS.Timeout | null = null;
  #expect: ((packet: Packet) => void) | null = null;
  #failed: ((error: BrokerError) => void) | null = null;

  private constructor(
    private readonly socket: Socket,
    private readonly plan: BrokerPlan,
    private readonly options: ReceiverOptions,
  ) {
    this.#parser.on('packet', (packet: Packet) => this.#take(packet));
    this.#parser.on('error', (error: Error) => this.#lose(error));
    socket.on('data', (data: Buffer) => {
      this.#heardMs = performance.now();
      this.#parser.parse(data);
    });
    socket.on('error', (error) => this.#lose(error));
    socket.on('close', () => this.#lose(new BrokerError(plan.url, 'The line was cut.')));
  }

  /** A line that receives. Throws `BrokerError`. */
  static async open(plan: BrokerPlan, options: ReceiverOptions): Promise<Receiver> {
    const receiver = new Receiver(socketTo(plan), plan, options);
    try {
      await receiver.#connect();
      return receiver;
    } catch (error) {
      receiver.#end();
      throw error;
    }
  }

  /** Quality of service 0: what is asked for is asked for again. */
  publish(topic: string, payload: string): void {
    this.#send({ cmd: 'publish', topic, payload, qos: 0, retain: false, dup: false });
  }

  /** Leaves; what was not acknowledged the broker keeps as long as was agreed. */
  async close(): Promise<void> {
    if (this.#ended) return;
    this.#ended = true;
    this.#send({ cmd: 'disconnect', reasonCode: 0 });
    await new Promise<void>((resolve) => {
      this.socket.end(() => resolve());
      setTimeout(resolve, COLLECT_LIMITS.answerMostMs / 20).unref();
    });
    this.#end();
  }

  async #connect(): Promise<void> {
    const { login, url } = this.plan;
    const { clientId, sessionS, aheadMost, topics } = this.options;
    this.#send({
      ...{ cmd: 'connect', protocolId: 'MQTT', protocolVersion: 5, clientId },
      ...{ clean: sessionS === 0, keepalive: COLLECT_LIMITS.keepAliveS },
      ...(login === null
        ? {}
        : { username: login.user, password: Buffer.from(login.password.reveal()) }),
      properties: {
        sessionExpiryInterval: sessionS,
        receiveMaximum: aheadMost,
        maximumPacketSize: WIRE_LIMITS.messageBytes * 2,
      },
    });
    const connected = await this.#answer('connack');
    const refusal = refusalOf(url, Number(connected.reasonCode));
    if (refusal !== null) throw refusal;
    const subscriptions = topics.map((topic) => ({ topic, qos: 1 as const }));
    this.#send({ cmd: 'subscribe', messageId: FIRST_ID, subscriptions });
    const granted = await this.#answer('suback');
    const codes: readonly unknown[] = Object(granted).granted ?? [];
    const refused = codes.map(Number).find((code) => code >= REFUSED);
    if (refused !== undefined) {
      throw refusalOf(url, refused) ?? new BrokerError(url, 'It does not let us subscribe.');
    }
    this.#pinging = setInterval(() => this.#ping(), (COLLECT_LIMITS.keepAliveS * 1000) / 2);
    this.#pinging.unref();
  }

  /** The next packet of a kind. Throws `BrokerError` when it does not come in time. */
  #answer(cmd: Packet['cmd']): Promise<IConnackPacket> {
    return new Promise((resolve, reject) => {
      const late = setTimeout(
        () => reject(new BrokerError(this.plan.url, 'It does not answer.')),
        COLLECT_LIMITS.answerMostMs,
      );
      const over = (): void => {
        clearTimeout(late);
        this.#expect = null;
        this.#failed = null;
      };
      this.#expect = (packet) => {
        if (packet.cmd !== cmd) return;
        over();
        resolve(packet as IConnackPacket);
      };
      this.#failed = (error) => {
        over();
        reject(error);
      };
    });
  }

  #ping(): void {
    const silentMs = performance.now() - this.#heardMs;
    if (silentMs > COLLECT_LIMITS.keepAliveS * 1500) {
      this.#lose(new BrokerError(this.plan.url, 'It does not answer.'));
      return;
    }
    this.#send({ cmd: 'pingreq' });
  }

  #take(packet: Packet): void {
    if (packet.cmd === 'publish') this.#received(packet);
    else if (packet.cmd === 'disconnect') {
      const why = refusalOf(this.plan.url, Number(packet.reasonCode));
      this.#lose(why ?? new BrokerError(this.plan.url, 'It has ended the line.'));
    } else this.#expect?.(packet);
  }

  #received({ topic, payload, messageId, qos }: IPublishPacket): void {
    this.options.take({
      topic,
      payload: Buffer.isBuffer(payload) ? payload : Buffer.from(payload),
      acknowledge: () => {
        if (qos === 0 || messageId === undefined || this.#ended) return;
        this.#send({ cmd: 'puback', messageId, reasonCode: 0 });
      },
    });
  }

  #send(packet: Packet): void {
    if (this.socket.destroyed) return;
    // A mistake of the library's types: a disconnect and a puback have reason codes.
    this.socket.write(generate(packet, OPTIONS));
  }

  #lose(error: Error): void {
    const why = BrokerError.of(this.plan, error);
    this.#failed?.(why);
    if (this.#ended) return;
    const wasOpen = this.#pinging !== null;
    this.#end();
    if (wasOpen) this.options.lost(why);
  }

  #end(): void {
    this.#ended = true;
    if (this.#pinging !== null) clearInterval(this.#pinging);
    this.socket.destroy();
  }
}

const PLAIN_PORT = 1883;
const TLS_PORT = 8883;

function socketTo({ url, ca }: BrokerPlan): Socket {
  const { protocol, hostname, port } = new URL(url);
  const host = hostname.replace(/^\[|\]$/g, '');
  if (protocol === 'mqtt:') {
    return connectTcp({ host, port: port === '' ? PLAIN_PORT : Number(port), noDelay: true });
  }
  return connectTls({
    ...{ host, port: port === '' ? TLS_PORT : Number(port) },
    // An address is no name to ask for (RFC 6066, 3); the certificate is held against it all the same.
    ...(isIP(host) === 0 ? { servername: host } : {}),
    ...{ minVersion: 'TLSv1.2', rejectUnauthorized: true },
    ...(ca === null ? {} : { ca }),
  });
}
