/**
 * MQTT: messages with quality of service 1, and a retained word on whether the keeper is there, which the broker itself
 * takes back when it is gone (its last will).
 */
import type { MqttClient } from 'mqtt';
import { within } from '../../link/within';
import type { MqttDoor } from '../config/plan';
import { hiding } from '../config/secret';
import { DOOR_LIMITS } from '../limits';
import { brokerFailure } from './broker';
import { type Door, DoorError } from './door';
import { bodyOf } from './webhook';

/** A broker takes a keeper for gone that it has not heard for one and a half of these. */
const KEEP_ALIVE_S = 60;

/** What stands at `TOPIC/keeper`, retained. `lost`: the broker says so, not the keeper. */
type Presence = 'here' | 'stopped' | 'lost';

class BrokerDoor implements Door {
  #client: MqttClient | null = null;
  #opening: Promise<MqttClient> | null = null;
  readonly #hide: (text: string) => string;

  constructor(
    private readonly plan: MqttDoor,
    private readonly keeper: string,
  ) {
    this.#hide = hiding([plan.login?.password.reveal() ?? '']);
  }

  async send(letter: Parameters<Door['send']>[0]): Promise<void> {
    await this.#attempt(async (client) => {
      const body = bodyOf(letter);
      await client.publishAsync(`${this.plan.topic}/messages`, body, { qos: 1 });
    });
  }

  async tend(): Promise<void> {
    if (this.#client?.connected !== true) await this.#attempt(async () => {});
  }

  async close(): Promise<void> {
    const client = this.#client;
    this.#client = null;
    if (client === null) return;
    try {
      await this.#inTime(this.#announce(client, 'stopped'));
      await this.#inTime(client.endAsync());
    } catch {
      client.end(true);
    }
  }

  /** Does `work` on a line that is open, and drops the line when that fails: it may have been lost half-way. */
  async #attempt(work: (client: MqttClient) => Promise<void>): Promise<void> {
    try {
      const client = await this.#inTime(this.#open());
      await this.#inTime(work(client));
    } catch (error) {
      // What the library still means to send would go out twice.
      this.#client?.end(true);
      this.#client = null;
      throw error instanceof DoorError ? error : brokerFailure(this.plan.url, error, this.#hide);
    }
  }

  #open(): Promise<MqttClient> {
    if (this.#client?.connected === true) return Promise.resolve(this.#client);
    this.#client?.end(true);
    this.#client = null;
    this.#opening ??= this.#connect().finally(() => {
      this.#opening = null;
    });
    return this.#opening;
  }

  async #connect(): Promise<MqttClient> {
    const { connectAsync } = await import('mqtt');
    const { url, login, ca, topic } = this.plan;
    const client = await connectAsync(url, {
      clientId: `trayward-${this.keeper}`,
      ...(login === null ? {} : { username: login.user, password: login.password.reveal() }),
      ...(ca === null ? {} : { ca }),
      ...{
        keepalive: KEEP_ALIVE_S,
        connectTimeout: DOOR_LIMITS.sendMostMs,
        rejectUnauthorized: true,
      },
      // The outbox tries again, not the library: it alone knows what was acknowledged.
      reconnectPeriod: 0,
      will: { topic: `${topic}/keeper`, payload: this.#presence('lost'), qos: 1, retain: true },
    });
    client.on('error', () => undefined);
    this.#client = client;
    await this.#announce(client, 'here');
    return client;
  }

  #presence(state: Presence): Buffer {
    return Buffer.from(JSON.stringify({ keeper: this.keeper, state }));
  }

  async #announce(client: MqttClient, state: Presence): Promise<void> {
    await client.publishAsync(`${this.plan.topic}/keeper`, this.#presence(state), {
      ...{ qos: 1, retain: true },
    });
  }

  #inTime<T>(work: Promise<T>): Promise<T> {
    const late = (): Error => new DoorError('door', `The broker ${this.plan.url} does not answer.`);
    return within(DOOR_LIMITS.sendMostMs, work, late, () => undefined);
  }
}

/** A door to a broker; `keeper` is its name there. */
export const createMqttDoor = (plan: MqttDoor, keeper: string): Door =>
  new BrokerDoor(plan, keeper);
