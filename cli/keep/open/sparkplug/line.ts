/** A session with a broker over MQTT 5, as an edge node has to have it (specification, 5.4): clean, and with a will. */
import type { MqttClient } from 'mqtt';
import { within } from '../../../link/within';
import type { SparkplugPlan } from '../../config/plan';
import { hiding } from '../../config/secret';
import { brokerFailure } from '../../doors/broker';
import { DoorError } from '../../doors/door';
import { DOOR_LIMITS, OPEN_LIMITS } from '../../limits';
import type { Frame } from './messages';

export interface LineEvents {
  /** The CONNECT packet with the will is sent: where nothing listens, none ever is. */
  opening(): void;
  message(topic: string, payload: Uint8Array, isRetained: boolean): void;
  /** The line is gone, not by `end`. */
  closed(why: string, isTakenOver: boolean): void;
}

export interface Line {
  /** In this order; what a line that breaks swallows, nobody tells. */
  publish(frames: readonly Frame[]): void;
  /** Ends the session; the broker publishes the will, or `inSilence` does not. */
  end(inSilence: boolean): Promise<void>;
}

/** Reasons of a DISCONNECT packet (MQTT 5.0, 3.14.2.1). */
const NORMAL = 0x00;
const WITH_WILL = 0x04;
const TAKEN_OVER = 0x8e;
const GOODBYES: Readonly<Record<number, string>> = {
  135: 'It does not let the keeper in any more.',
  139: 'It shuts down.',
  141: 'It has not heard the keeper for too long.',
  152: 'Whoever runs it has ended the session.',
};

export interface LineOptions {
  readonly plan: SparkplugPlan;
  readonly clientId: string;
  readonly will: Frame;
  readonly topics: readonly string[];
  /** Nobody wants the line any more. */
  readonly signal: AbortSignal;
}

/** Opens a session and subscribes to its topics. Throws `DoorError`. */
export async function openLine(options: LineOptions, events: LineEvents): Promise<Line> {
  const { plan, topics } = options;
  const hide = hiding([plan.login?.password.reveal() ?? '']);
  const late = (): Error => new DoorError('door', `The broker ${plan.url} does not answer.`);
  let client: MqttClient | null = null;
  try {
    const opened = connect(options, events);
    client = await within(DOOR_LIMITS.sendMostMs, opened, late, (one) => one.end(true));
    const line = lineOver(client, events);
    await within(DOOR_LIMITS.sendMostMs, subscribe(client, topics), late, () => undefined);
    return line;
  } catch (error) {
    client?.removeAllListeners('close').end(true);
    throw error instanceof DoorError ? error : brokerFailure(plan.url, error, hide);
  }
}

async function connect(
  { plan, clientId, will, signal }: LineOptions,
  { opening }: LineEvents,
): Promise<MqttClient> {
  const { connect: clientTo } = await import('mqtt');
  const { url, login, ca } = plan;
  const client = clientTo(url, {
    clientId,
    ...{ protocolVersion: 5, clean: true, properties: { sessionExpiryInterval: 0 } },
    ...(login === null ? {} : { username: login.user, password: login.password.reveal() }),
    ...(ca === null ? {} : { ca }),
    keepalive: OPEN_LIMITS.keepAliveS,
    connectTimeout: DOOR_LIMITS.sendMostMs,
    rejectUnauthorized: true,
    // The keeper tries again: each session has a will of its own.
    reconnectPeriod: 0,
    will: { topic: will.topic, payload: Buffer.from(will.payload), qos: 1, retain: false },
  });
  // A second error, behind the one that is told, would end the keeper.
  client.on('error', () => undefined);
  const stop = (): unknown => client.end(true);
  signal.addEventListener('abort', stop);
  // The packet waits in the stream until there is a line.
  client.stream.once(url.startsWith('mqtts:') ? 'secureConnect' : 'connect', opening);
  try {
    await new Promise<void>((resolve, reject) => {
      client.once('connect', () => resolve());
      client.once('error', reject);
      client.once('close', () => reject(new Error('It has cut the line.')));
    });
    return client;
  } catch (error) {
    client.end(true);
    throw error;
  } finally {
    signal.removeEventListener('abort', stop);
  }
}

async function subscribe(client: MqttClient, topics: readonly string[]): Promise<void> {
  await client.subscribeAsync([...topics], { qos: 1 });
}

function lineOver(client: MqttClient, events: LineEvents): Line {
  let why = 'The line was cut.';
  let isTakenOver = false;
  const closed = (): void => events.closed(why, isTakenOver);
  client.on('disconnect', ({ reasonCode = 0 }) => {
    isTakenOver = reasonCode === TAKEN_OVER;
    why = GOODBYES[reasonCode] ?? why;
  });
  client.on('message', (topic, payload, { retain }) => events.message(topic, payload, retain));
  client.on('close', closed);
  return {
    publish(frames) {
      for (const { topic, payload } of frames) {
        client.publish(topic, Buffer.from(payload), { qos: 0, retain: false }, () => undefined);
      }
    },
    async end(inSilence) {
      client.off('close', closed);
      const late = (): Error => new Error('no end');
      const end = client.endAsync(false, { reasonCode: inSilence ? NORMAL : WITH_WILL });
      await within(DOOR_LIMITS.sendMostMs, end, late, () => undefined).catch(() =>
        client.end(true),
      );
    },
  };
}
