/** One life of an edge node at Debian's mosquitto: its packets on the wire, and what mosquitto_sub heard and protoc decoded. */
import type { IConnectPacket, ISubscribePacket, Packet } from 'mqtt-packet';
import { field, type Message, metric, metricsOf, read, written } from './decoder';
import { Node, type Told, toldIn, until, verbsIn } from './life';
import { type Heard, Line, Mosquitto } from './mosquitto';

const REBIRTH = `timestamp: 1 metrics { name: "Node Control/Rebirth" boolean_value: true }`;
const NCMD = 'spBv1.0/Nursery/NCMD/north-room';

export const number = (message: Message | undefined, name: string): number =>
  Number(field(message, name) ?? Number.NaN);
/** The number of its session. */
export const bdSeq = (message: Message | undefined): number =>
  number(metric(message, 'bdSeq'), 'long_value');
export const names = (message: Message): readonly (string | null)[] =>
  metricsOf(message).map((one) => field(one, 'name'));
export const isPast = (one: Message): boolean => field(one, 'is_historical') === 'true';

/** Births, news, a tray that goes and comes back, a rebirth, a line that breaks, and a goodbye; returns when it ended, ms. */
async function live(broker: Mosquitto, line: Line, heard: readonly Heard[]): Promise<number> {
  const node = new Node({ url: `mqtt://127.0.0.1:${line.port}` });
  const verbs = (): string => verbsIn(heard).join(' ');
  const hears = (pattern: RegExp): Promise<void> =>
    until(() => pattern.test(verbs()), `${pattern}, but ${verbs()}`);
  await node.until('up');
  await hears(/DBIRTH$/);
  node.set('Pepper', 21);
  node.round();
  node.set('Basil', null);
  node.round();
  node.round();
  node.set('Basil', 19);
  node.round();
  await hears(/NDATA$/);
  broker.publish(NCMD, written(REBIRTH), { qos: 1 });
  await hears(/NBIRTH DBIRTH DBIRTH$/);
  line.cut();
  await hears(/NDEATH$/);
  await until(() => node.state === 'down', 'the line is lost');
  for (const rootZoneC of [22, 23, 24]) {
    node.set('Pepper', rootZoneC);
    node.round();
    if (node.state === 'up') throw new Error('it was to stay away for a while');
  }
  await node.until('up');
  await hears(/NDEATH NBIRTH DBIRTH DBIRTH( DDATA)+/);
  const endMs = node.nowMs;
  await node.sparkplug.close();
  await hears(/NDEATH NDEATH$/);
  return endMs;
}

/** Known once it has been lived: what is asked of it before is empty. */
export class LifeAtBroker {
  #broker: Mosquitto | null = null;
  #line: Line | null = null;
  #told: readonly Told[] = [];
  #endMs = Number.NaN;

  async live(): Promise<void> {
    const broker = await Mosquitto.start();
    this.#broker = broker;
    const line = await Line.to(broker.plainPort);
    this.#line = line;
    const heard = await broker.listen();
    this.#endMs = await live(broker, line, heard);
    this.#told = toldIn(heard);
  }

  async end(): Promise<void> {
    await this.#line?.stop();
    await this.#broker?.stop();
  }

  get packets(): readonly Packet[] {
    return this.#line?.packets ?? [];
  }

  get connects(): readonly IConnectPacket[] {
    return this.packets.filter((one): one is IConnectPacket => one.cmd === 'connect');
  }

  /** Messages in the order in which they were heard. */
  get told(): readonly Told[] {
    return this.#told;
  }

  /** Of the node's own clock. */
  get endMs(): number {
    return this.#endMs;
  }

  /** With which quality it listens for orders to the node. */
  get ncmdQos(): number | undefined {
    const first = this.packets.find((one): one is ISubscribePacket => one.cmd === 'subscribe');
    return first?.subscriptions.find(({ topic }) => topic === NCMD)?.qos;
  }

  of(...verbs: readonly string[]): readonly Told[] {
    return this.#told.filter(({ verb }) => verbs.includes(verb));
  }

  wills(): readonly Message[] {
    return this.connects.map(({ will }) => read(will?.payload as Buffer));
  }
}
