/** A keeper's line to the broker for journals: publishes until acknowledged, and hears what it is asked for. */
import type { MqttClient } from 'mqtt';
import { within } from '../../link/within';
import { BrokerError } from '../broker/refusal';
import { SEND_LIMITS } from '../limits';
import type { BrokerPlan } from '../plan';
import { type Asked, decodeAsked } from '../wire';

/** Nobody is subscribed (MQTT 5, 3.4.2.1): the broker has taken it, and kept it for nobody. */
const NOBODY_THERE = 16;

export interface LineOptions {
  readonly clientId: string;
  /** Topic of questions. */
  readonly askTopic: string;
  readonly asked: (question: Asked) => void;
}

export class SendingLine {
  /** Messages that the broker has taken, and kept for nobody: the library does not hand that on. */
  readonly #unheard = new Set<number>();

  private constructor(
    private readonly client: MqttClient,
    private readonly plan: BrokerPlan,
  ) {
    client.on('error', () => undefined);
    // Each message on its way waits for the end of the line as well.
    client.setMaxListeners(0);
    client.on('packetreceive', (packet) => {
      const { cmd, messageId, reasonCode } = Object(packet);
      if (cmd === 'puback' && reasonCode === NOBODY_THERE) this.#unheard.add(messageId);
    });
  }

  /** Throws `BrokerError`, as all of its methods do. */
  static async open(plan: BrokerPlan, options: LineOptions): Promise<SendingLine> {
    const { connect } = await import('mqtt');
    const { url, login, ca } = plan;
    const client = connect(url, {
      ...{ clientId: options.clientId, protocolVersion: 5, clean: true },
      ...(login === null ? {} : { username: login.user, password: login.password.reveal() }),
      ...(ca === null ? {} : { ca }),
      ...{ connectTimeout: SEND_LIMITS.ackMostMs, rejectUnauthorized: true },
      // The cursor alone knows what was acknowledged: the library tries nothing again.
      reconnectPeriod: 0,
    });
    const line = new SendingLine(client, plan);
    try {
      await line.#inTime(
        new Promise((resolve, reject) => {
          client.once('connect', resolve);
          client.on('error', reject);
        }),
      );
      client.on('message', (_topic, payload) => {
        const question = decodeAsked(payload);
        if (question !== null) options.asked(question);
      });
      await line.#inTime(client.subscribeAsync(options.askTopic, { qos: 1 }));
      return line;
    } catch (error) {
      line.close();
      throw error;
    }
  }

  get isOpen(): boolean {
    return this.client.connected;
  }

  /** Resolves once the broker has acknowledged it: whether anybody was subscribed. */
  async publish(topic: string, payload: Buffer | string, retain = false): Promise<boolean> {
    if (!this.client.connected) throw this.#gone();
    const taken = await this.#inTime(this.client.publishAsync(topic, payload, { qos: 1, retain }));
    return !this.#unheard.delete(Object(taken).messageId);
  }

  /** What `work` gives, unless the line ends first or nothing is heard: of that the library tells nobody who waits. */
  async #inTime<T>(work: Promise<T>): Promise<T> {
    const late = (): Error => new BrokerError(this.plan.url, 'It does not answer.');
    let onClose: () => void = () => undefined;
    const closed = new Promise<never>((_, reject) => {
      onClose = () => reject(this.#gone());
      this.client.once('close', onClose);
    });
    try {
      const either = Promise.race([work, closed]);
      return await within(SEND_LIMITS.ackMostMs, either, late, () => undefined);
    } catch (error) {
      throw BrokerError.of(this.plan, asError(error));
    } finally {
      this.client.off('close', onClose);
    }
  }

  #gone(): BrokerError {
    return new BrokerError(this.plan.url, 'The line was cut.');
  }

  close(): void {
    this.client.end(true);
  }
}

const asError = (error: unknown): Error =>
  error instanceof Error ? error : new Error(String(error));
