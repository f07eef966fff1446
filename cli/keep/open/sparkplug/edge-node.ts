/**
 * An edge node of Sparkplug B 3.0 with the trays as its devices: which messages are due, with their sequence numbers, by
 * what is seen of the trays and what is heard from the broker. Pure: time and bytes go in, messages come out.
 */

import { OPEN_LIMITS } from '../../limits';
import { isNews, MEASURES, type Value } from '../measures';
import { History, type Sample } from './history';
import { type Frame, Messages } from './messages';
import { bornMetric, type Described, dataMetric } from './metrics';
import { type Heard, NOTHING, type NodeOptions, type Seen } from './node-model';
import { ANSWER, ORDER_METRICS, ordersOf } from './orders';
import { decode, type Metric, type Payload } from './payload';
import { PrimaryHost } from './primary';
import { hostTopic, topicOf } from './topics';

const PLAIN = { unit: null, range: null } as const;
const REBIRTH = 'Node Control/Rebirth';
const COUNT = { ...PLAIN, kind: 'count' } as const;
const NODE_METRICS = [
  { ...COUNT, name: 'Trays/Heard' },
  { ...COUNT, name: 'Trays/Count' },
  { ...COUNT, name: 'History/Dropped' },
] as const satisfies readonly Described[];

interface Device {
  readonly name: string;
  seen: Seen | null;
  /** Told, or kept as history, by the place of the measure; empty: nothing yet. */
  told: readonly Value[];
  /** A birth of it stands in this session. */
  isBorn: boolean;
  answer: string | null;
}

export class EdgeNode {
  readonly history = new History();
  readonly #devices: readonly Device[];
  readonly #host = new PrimaryHost();
  /** `away`: no session. `waiting`: one, and no host. `born`: births stand. */
  #phase: 'away' | 'waiting' | 'born' = 'away';
  readonly #messages: Messages;
  #told: readonly number[] = [];

  /** `bdSeq`: number of the last session; null before the first. */
  constructor(
    private readonly options: NodeOptions,
    bdSeq: number | null,
  ) {
    this.#messages = new Messages(options, bdSeq);
    this.#devices = options.devices.map((name) => ({
      ...{ name, seen: null, told: [], isBorn: false, answer: null },
    }));
  }

  get phase(): 'away' | 'waiting' | 'born' {
    return this.#phase;
  }

  /** Topics to subscribe to before anything is published. */
  get topics(): readonly string[] {
    const { host, orders, devices } = this.options;
    return [
      topicOf(this.options, 'NCMD'),
      topicOf(this.options, 'NBIRTH'),
      ...(orders ? devices.map((device) => topicOf(this.options, 'DCMD', device)) : []),
      ...(host === null ? [] : [hostTopic(host)]),
    ];
  }

  /** The will for the CONNECT packet of the next session. */
  will(nowMs: number): Frame {
    return this.#messages.death(nowMs, this.#messages.nextSession);
  }

  /** That packet is on its way; the number of the session. */
  opening(): number {
    const { nextSession } = this.#messages;
    this.#messages.sessionBegins();
    this.#host.sessionBegins();
    return nextSession;
  }

  /** The session stands and its topics are subscribed: births, unless a host is waited for. */
  opened(nowMs: number): readonly Frame[] {
    this.#phase = 'waiting';
    return this.options.host === null || this.#host.online ? this.#births(nowMs) : [];
  }

  /** The node ends the session itself. What it told has arrived. */
  closing(nowMs: number): readonly Frame[] {
    if (this.#phase === 'away') return [];
    const wasBorn = this.#phase === 'born';
    this.#away();
    return wasBorn ? [this.#messages.death(nowMs)] : [];
  }

  /** The line broke. */
  closed(nowMs: number): void {
    if (this.#phase === 'away') return;
    this.#away();
    this.history.lineBroke(nowMs);
  }

  /** Tells what has changed since the last look, or keeps it while nobody hears. */
  look(trays: readonly Seen[], nowMs: number): readonly Frame[] {
    this.history.forgetArrived(nowMs);
    const frames = trays.flatMap((seen) => {
      const device = this.#devices.find(({ name }) => name === seen.device);
      return device === undefined ? [] : this.#lookAt(device, seen, nowMs);
    });
    return [...frames, ...this.#nodeData(nowMs)];
  }

  /** Hears a message of the broker. */
  received(topic: string, payload: Uint8Array, isRetained: boolean, nowMs: number): Heard {
    const { host } = this.options;
    if (host !== null && topic === hostTopic(host)) return this.#hostHeard(payload, nowMs);
    const isNode = topic === topicOf(this.options, 'NCMD');
    const device = this.#devices.find(({ name }) => topic === topicOf(this.options, 'DCMD', name));
    if (!isNode && (device === undefined || !this.options.orders)) return NOTHING;
    const refusal = (why: string): Heard => ({ ...NOTHING, refused: [`${topic}: ${why}`] });
    if (isRetained) return refusal('The broker kept this order: nobody knows how old it is.');
    const command = payload.length > OPEN_LIMITS.commandBytes ? null : decode(payload);
    if (command === null || command.metrics.length > OPEN_LIMITS.commandMetrics) {
      return refusal('This is no order: its bytes are no payload, or too many.');
    }
    if (device === undefined) return this.#nodeCommand(command, topic, nowMs);
    const { orders, refused } = ordersOf(command);
    return {
      ...NOTHING,
      orders: orders.map((order) => ({ device: device.name, order })),
      refused: refused.map((why) => `${topic}: ${why}`),
    };
  }

  /** What became of an order, for whoever gave it. */
  answer(device: string, text: string, nowMs: number): readonly Frame[] {
    const found = this.#devices.find(({ name }) => name === device);
    if (found === undefined) return [];
    found.answer = text;
    return found.isBorn && this.#phase === 'born'
      ? [this.#messages.of('DDATA', [dataMetric(ANSWER, text, nowMs, false)], nowMs, device)]
      : [];
  }

  /** This computer's clock was set by `byMs`: all is born anew, with the times that hold now. */
  clockMoved(byMs: number, nowMs: number): readonly Frame[] {
    this.history.clockMoved(byMs);
    for (const device of this.#devices) {
      const { seen } = device;
      if (seen !== null) device.seen = { ...seen, atMs: seen.atMs + byMs };
    }
    return this.#phase === 'born' ? this.#births(nowMs) : [];
  }

  #away(): void {
    this.#phase = 'away';
    for (const device of this.#devices) device.isBorn = false;
  }

  #hostHeard(payload: Uint8Array, nowMs: number): Heard {
    this.#host.heard(payload);
    const { online } = this.#host;
    if (online && this.#phase === 'waiting') return { ...NOTHING, frames: this.#births(nowMs) };
    if (online || this.#phase !== 'born') return NOTHING;
    return { ...NOTHING, frames: this.closing(nowMs), leave: true };
  }

  #nodeCommand({ metrics }: Payload, topic: string, nowMs: number): Heard {
    const isRebirth = (one: Metric): boolean => one.name === REBIRTH && one.booleanValue === true;
    const refused = metrics
      .filter((one) => !isRebirth(one))
      .map(
        ({ name = '' }) => `${topic}: The node takes no order but ${REBIRTH}, and not "${name}".`,
      );
    const frames = metrics.some(isRebirth) && this.#phase === 'born' ? this.#births(nowMs) : [];
    return { ...NOTHING, frames, refused };
  }

  /** The whole sequence: node, all trays that are heard, and then what waited. */
  #births(nowMs: number): readonly Frame[] {
    this.#phase = 'born';
    for (const device of this.#devices) device.isBorn = false;
    const values = this.#nodeValues();
    this.#told = values;
    const own = NODE_METRICS.map((of, i) => bornMetric(of, values[i] ?? null, nowMs));
    const rebirth = bornMetric({ ...PLAIN, name: REBIRTH, kind: 'boolean' }, false, nowMs);
    const birth = this.#messages.birth([rebirth, ...own], nowMs);
    const born = this.#devices.flatMap((device) =>
      device.seen !== null && device.seen.reading !== null ? [this.#born(device, nowMs)] : [],
    );
    return [birth, ...born, ...this.#past(nowMs)];
  }

  #born(device: Device, nowMs: number): Frame {
    const { seen, answer, name } = device;
    const atMs = seen?.atMs ?? nowMs;
    device.isBorn = true;
    device.told = valuesOf(seen);
    const orders = this.options.orders
      ? [
          ...ORDER_METRICS.map((of) => bornMetric(of, of.idle, nowMs)),
          bornMetric(ANSWER, answer, nowMs),
        ]
      : [];
    const metrics = MEASURES.map((of, i) => bornMetric(of, device.told[i] ?? null, atMs));
    return this.#messages.of('DBIRTH', [...metrics, ...orders], nowMs, name);
  }

  /** What was kept for trays that are born now, in as many messages as it takes. */
  #past(nowMs: number): readonly Frame[] {
    const isBorn = (name: string): boolean =>
      this.#devices.some((device) => device.name === name && device.isBorn);
    const samples = this.history.take(isBorn, nowMs);
    return this.#devices.flatMap(({ name, seen }) => {
      const metrics = samples
        // What is of now the birth has told.
        .filter(({ device, atMs }) => device === name && atMs !== seen?.atMs)
        .flatMap((sample) => metricsOf(sample, true));
      const { messageValues } = OPEN_LIMITS;
      const count = Math.ceil(metrics.length / messageValues);
      return Array.from({ length: count }, (_, i) =>
        this.#messages.of(
          'DDATA',
          metrics.slice(i * messageValues, (i + 1) * messageValues),
          nowMs,
          name,
        ),
      );
    });
  }

  #lookAt(device: Device, seen: Seen, nowMs: number): readonly Frame[] {
    const wasBorn = device.isBorn;
    device.seen = seen;
    if (seen.reading === null) {
      device.isBorn = false;
      device.told = [];
      return wasBorn ? [this.#messages.of('DDEATH', [], nowMs, device.name)] : [];
    }
    if (this.#phase === 'born' && !wasBorn)
      return [this.#born(device, nowMs), ...this.#past(nowMs)];
    const values = valuesOf(seen);
    const told = device.told;
    const changed = MEASURES.flatMap((measure, at) => {
      const value = values[at] ?? null;
      const isNew = told.length === 0 || isNews(measure, told[at] ?? null, value);
      return isNew ? [{ at, value }] : [];
    });
    if (changed.length === 0) return [];
    device.told = values.map((value, at) =>
      changed.some((one) => one.at === at) ? value : (told[at] ?? null),
    );
    const sample = { device: device.name, atMs: seen.atMs, values: changed };
    if (this.#phase !== 'born') {
      this.history.keep(sample);
      return [];
    }
    this.history.sent(sample, nowMs);
    return [this.#messages.of('DDATA', metricsOf(sample, false), nowMs, device.name)];
  }

  #nodeValues(): readonly number[] {
    const heard = this.#devices.filter(({ seen }) => (seen?.reading ?? null) !== null).length;
    return [heard, this.#devices.length, this.history.dropped];
  }

  #nodeData(nowMs: number): readonly Frame[] {
    if (this.#phase !== 'born') return [];
    const values = this.#nodeValues();
    const changed = NODE_METRICS.flatMap((of, i) =>
      values[i] === this.#told[i] ? [] : [dataMetric(of, values[i] ?? null, nowMs, false)],
    );
    this.#told = values;
    return changed.length === 0 ? [] : [this.#messages.of('NDATA', changed, nowMs)];
  }
}

const valuesOf = (seen: Seen | null): readonly Value[] => {
  const reading = seen?.reading ?? null;
  return MEASURES.map((measure) => (reading === null ? null : measure.read(reading)));
};

const metricsOf = ({ values, atMs }: Sample, isHistorical: boolean): readonly Metric[] =>
  values.flatMap(({ at, value }) => {
    const measure = MEASURES[at];
    return measure === undefined ? [] : [dataMetric(measure, value, atMs, isHistorical)];
  });
