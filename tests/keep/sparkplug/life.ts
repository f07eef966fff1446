/** An edge node's life at a real broker, for all statements about it: what it sent, and what an independent client heard. */

import type { SparkplugPlan } from '../../../cli/keep/config/plan';
import { Secret } from '../../../cli/keep/config/secret';
import type { Seen } from '../../../cli/keep/open/sparkplug/node-model';
import { Sparkplug } from '../../../cli/keep/open/sparkplug/sparkplug';
import type { Status } from '../../../shared/link/status';
import { SECOND_MS } from '../../../shared/units/time';
import { Grower, TEST_PROFILE } from '../../simulation/grower';
import { AUTHORITY } from '../servers';
import { type Message, read } from './decoder';
import { type Heard, PASSWORD } from './mosquitto';

export const ROUND_MS = 10 * SECOND_MS;
export const BEGIN_MS = Date.UTC(2026, 2, 1, 6);

export const PLAN: SparkplugPlan = {
  ...{ url: 'mqtt://127.0.0.1:1', login: { user: 'trays', password: new Secret(PASSWORD) } },
  ...{ ca: AUTHORITY, group: 'Nursery', node: 'north-room', host: null, orders: true },
};

/** How a tray stands that is in use. */
export function statusInUse(): Status {
  const grower = new Grower({ seed: 5 });
  grower.commission(TEST_PROFILE);
  return grower.status();
}

/** A keeper's edge node whose time and trays a test decides. */
export class Node {
  readonly said: string[] = [];
  readonly obeyed: string[] = [];
  steadyMs = 0;
  /** How far this computer's clock is from the right time. */
  clockOffMs = 0;
  readonly #status = statusInUse();
  readonly #rootZoneC: Map<string, number | null>;
  #bdSeq: number | null = null;
  readonly sparkplug: Sparkplug;

  constructor(
    plan: Partial<SparkplugPlan>,
    identity = 'first',
    devices: readonly string[] = ['Pepper', 'Basil'],
  ) {
    this.#rootZoneC = new Map(devices.map((name) => [name, 20]));
    const session = {
      read: () => this.#bdSeq,
      write: (number: number) => {
        this.#bdSeq = number;
        return null;
      },
    };
    this.sparkplug = new Sparkplug({
      ...{ plan: { ...PLAN, ...plan }, devices, identity, session },
      now: () => this.nowMs,
      steadyMs: () => this.steadyMs,
      say: (text) => this.said.push(text),
      obey: async (device, order) => {
        this.obeyed.push(`${device}: ${JSON.stringify(order)}`);
        return `Done: ${order.kind}.`;
      },
    });
  }

  get nowMs(): number {
    return BEGIN_MS + this.steadyMs + this.clockOffMs;
  }

  get state(): string {
    return this.sparkplug.state.state;
  }

  /** The root zone of a tray; null: the tray is not heard. */
  set(device: string, rootZoneC: number | null): void {
    this.#rootZoneC.set(device, rootZoneC);
  }

  /** A round of the keeper. */
  round(): void {
    this.steadyMs += ROUND_MS;
    this.sparkplug.round(this.seen());
  }

  /** Rounds until it stands so; between two of them a broker has a moment. */
  async until(state: string): Promise<void> {
    for (let tries = 0; this.state !== state; tries++) {
      if (tries > 500) throw new Error(`not ${state} but ${this.state}: ${this.said.join('; ')}`);
      if (tries % 20 === 0) this.round();
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  }

  seen(): readonly Seen[] {
    return [...this.#rootZoneC].map(([device, rootZoneC]) => ({
      ...{ device, atMs: this.nowMs },
      reading:
        rootZoneC === null
          ? null
          : {
              status: { ...this.#status, heat: { ...this.#status.heat, rootZoneC } },
              ...{ apartMs: 0, nextDoseMs: null },
            },
    }));
  }
}

/** A message as it was heard, and what Google's decoder reads in it. */
export interface Told extends Heard {
  readonly verb: string;
  readonly device: string | null;
  readonly payload: Message;
}

const verbOf = ({ topic }: Heard): string => topic.split('/')[2] ?? '';

/** Without hosts and their orders. */
const byNode = (one: Heard): boolean => /^[ND](BIRTH|DEATH|DATA)$/.test(verbOf(one));

export const verbsIn = (heard: readonly Heard[]): readonly string[] =>
  heard.filter(byNode).map(verbOf);

/** What nodes told. */
export const toldIn = (heard: readonly Heard[]): readonly Told[] =>
  heard.filter(byNode).map((one) => {
    const [, , verb = '', , device = null] = one.topic.split('/');
    return { ...one, verb, device, payload: read(one.bytes) };
  });

/** Waits until something is so that others bring about. */
export async function until(isSo: () => boolean, what: string): Promise<void> {
  for (let tries = 0; !isSo(); tries++) {
    if (tries > 500) throw new Error(`it did not come: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}
