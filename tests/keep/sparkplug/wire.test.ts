/**
 * Statements of the Sparkplug 3.0.0 specification about what an edge node sends: held against one life of it at Debian's
 * mosquitto, by the packets on the wire, and by what mosquitto_sub heard and protoc decoded.
 */
import type {
  IConnectPacket,
  IDisconnectPacket,
  IPublishPacket,
  ISubscribePacket,
} from 'mqtt-packet';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { field, inner, type Message, metric, metricsOf, read, written } from './decoder';
import { BEGIN_MS, Node, type Told, toldIn, until, verbsIn } from './life';
import { type Heard, Line, Mosquitto, noBroker } from './mosquitto';
import { holds } from './statement';

const REBIRTH = `timestamp: 1 metrics { name: "Node Control/Rebirth" boolean_value: true }`;
const NCMD = 'spBv1.0/Nursery/NCMD/north-room';

let broker: Mosquitto;
let line: Line;
let told: readonly Told[] = [];
let connects: readonly IConnectPacket[] = [];
let ncmdQos: number | undefined;
let endMs = 0;

const of = (...verbs: readonly string[]): readonly Told[] =>
  told.filter(({ verb }) => verbs.includes(verb));
const wills = (): readonly Message[] => connects.map(({ will }) => read(will?.payload as Buffer));
const number = (message: Message | undefined, name: string): number =>
  Number(field(message, name) ?? Number.NaN);
const bdSeq = (message: Message | undefined): number =>
  number(metric(message, 'bdSeq'), 'long_value');
const names = (message: Message): readonly (string | null)[] =>
  metricsOf(message).map((one) => field(one, 'name'));
const isPast = (one: Message): boolean => field(one, 'is_historical') === 'true';

/** Births, news, a tray that goes and comes back, a rebirth, a line that breaks, and a goodbye. */
async function live(heard: readonly Heard[]): Promise<void> {
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
  endMs = node.nowMs;
  await node.sparkplug.close();
  await hears(/NDEATH NDEATH$/);
}

describe.skipIf(noBroker)('an edge node at a broker', () => {
  beforeAll(async () => {
    broker = await Mosquitto.start();
    line = await Line.to(broker.plainPort);
    const heard = await broker.listen();
    await live(heard);
    told = toldIn(heard);
    connects = line.packets.filter((one): one is IConnectPacket => one.cmd === 'connect');
    const subscribed = line.packets.filter(
      (one): one is ISubscribePacket => one.cmd === 'subscribe',
    );
    ncmdQos = subscribed[0]?.subscriptions.find(({ topic }) => topic === NCMD)?.qos;
  });
  afterAll(async () => {
    await line?.stop();
    await broker?.stop();
  });

  describe('a session', () => {
    holds(
      ['tck-id-principles-persistence-clean-session-50'],
      'it is clean, and ends with the line',
      () => {
        expect(connects.length).toBe(2);
        for (const { protocolVersion, clean, properties } of connects) {
          expect([protocolVersion, clean, properties?.sessionExpiryInterval]).toEqual([5, true, 0]);
        }
      },
    );

    holds(
      [
        'tck-id-message-flow-edge-node-birth-publish-connect',
        'tck-id-message-flow-edge-node-ncmd-subscribe',
        'tck-id-topics-ncmd-topic',
      ],
      'it is open, and listens for orders to the node with quality 1, before births are published',
      () => {
        const order = line.packets.map(({ cmd }) => cmd).filter((cmd) => cmd !== 'pingreq');
        expect(order.slice(0, 3)).toEqual(['connect', 'subscribe', 'publish']);
        expect(ncmdQos).toBe(1);
      },
    );

    holds(
      ['tck-id-message-flow-device-dcmd-subscribe', 'tck-id-topics-dcmd-topic'],
      'it listens for orders to each tray, with quality 1',
      () => {
        const packet = line.packets.find((one): one is ISubscribePacket => one.cmd === 'subscribe');
        const wanted = (packet?.subscriptions ?? []).map(({ topic, qos }) => [topic, qos]);
        expect(wanted).toContainEqual(['spBv1.0/Nursery/DCMD/north-room/Pepper', 1]);
        expect(wanted).toContainEqual(['spBv1.0/Nursery/DCMD/north-room/Basil', 1]);
      },
    );

    holds(
      ['tck-id-operational-behavior-primary-application-state-with-multiple-servers-single-server'],
      'one stands at a time: each begins after the one before has ended',
      () => {
        const order = told.map(({ verb }) => verb).filter((verb) => /^N(BIRTH|DEATH)$/.test(verb));
        expect(order.join(' ')).toBe('NBIRTH NBIRTH NDEATH NBIRTH NDEATH NDEATH');
      },
    );
  });

  describe('the will', () => {
    holds(
      [
        'tck-id-message-flow-edge-node-birth-publish-will-message',
        'tck-id-payloads-ndeath-will-message',
        'tck-id-message-flow-edge-node-birth-publish-will-message-topic',
        'tck-id-topics-ndeath-topic',
      ],
      'each session has one, at the topic of the death of the node',
      () => {
        expect(connects.map(({ will }) => will?.topic)).toEqual(
          connects.map(() => 'spBv1.0/Nursery/NDEATH/north-room'),
        );
        expect(of('NDEATH').every(({ device }) => device === null)).toBe(true);
      },
    );
    holds(
      [
        'tck-id-message-flow-edge-node-birth-publish-will-message-qos',
        'tck-id-payloads-ndeath-will-message-qos',
        'tck-id-message-flow-edge-node-birth-publish-will-message-will-retained',
        'tck-id-payloads-ndeath-will-message-retain',
      ],
      'it is sent with quality 1, and not retained',
      () => {
        for (const { will } of connects) expect([will?.qos, will?.retain]).toEqual([1, false]);
        const [first] = of('NDEATH');
        expect([first?.qos, first?.retain]).toEqual([1, false]);
      },
    );
    holds(
      [
        'tck-id-message-flow-edge-node-birth-publish-will-message-payload',
        'tck-id-topics-ndeath-payload',
        'tck-id-topics-ndeath-seq',
        'tck-id-payloads-ndeath-seq',
      ],
      'it is a payload with the number of the session alone, and with no number of its own',
      () => {
        for (const will of [...wills(), ...of('NDEATH').map(({ payload }) => payload)]) {
          expect(names(will)).toEqual(['bdSeq']);
          expect(field(will, 'seq')).toBeNull();
        }
      },
    );
    holds(
      [
        'tck-id-message-flow-edge-node-birth-publish-will-message-payload-bdSeq',
        'tck-id-topics-nbirth-bdseq-increment',
      ],
      'the number of the session is an Int64, begins at 0 and goes up by one',
      () => {
        expect(wills().map(bdSeq)).toEqual([0, 1]);
        for (const will of wills()) expect(number(metric(will, 'bdSeq'), 'datatype')).toBe(4);
      },
    );
    holds(
      [
        'tck-id-topics-nbirth-bdseq-included',
        'tck-id-topics-nbirth-bdseq-matching',
        'tck-id-message-flow-edge-node-birth-publish-nbirth-payload-bdSeq',
        'tck-id-payloads-nbirth-bdseq',
        'tck-id-payloads-nbirth-bdseq-repeat',
        'tck-id-payloads-ndeath-bdseq',
        'tck-id-operational-behavior-data-commands-rebirth-action-3',
      ],
      'births have the number of the will of their session, after a rebirth too',
      () => {
        expect(of('NBIRTH').map(({ payload }) => bdSeq(payload))).toEqual([0, 0, 1]);
        expect(of('NDEATH').map(({ payload }) => bdSeq(payload))).toEqual([0, 1, 1]);
        for (const { payload } of of('NBIRTH')) {
          expect(number(metric(payload, 'bdSeq'), 'datatype')).toBe(4);
        }
      },
    );
  });

  describe('an end that is meant', () => {
    holds(
      [
        'tck-id-operational-behavior-edge-node-intentional-disconnect-ndeath',
        'tck-id-payloads-ndeath-will-message-publisher',
      ],
      'the node tells of its death before it goes',
      () => {
        const last = line.packets.slice(-2).map(({ cmd }) => cmd);
        expect(last).toEqual(['publish', 'disconnect']);
        const death = line.packets.at(-2) as IPublishPacket;
        expect(death.topic).toBe('spBv1.0/Nursery/NDEATH/north-room');
      },
    );
    holds(
      [
        'tck-id-operational-behavior-edge-node-intentional-disconnect-packet',
        'tck-id-payloads-ndeath-will-message-publisher-disconnect-mqtt50',
      ],
      'the DISCONNECT says that the will is to be published: 4',
      () => expect((line.packets.at(-1) as IDisconnectPacket).reasonCode).toBe(4),
    );
  });

  describe('topics', () => {
    holds(
      ['tck-id-topic-structure', 'tck-id-topic-structure-namespace-a'],
      'namespace, group, verb, node, and a tray where it is of one',
      () => {
        for (const { topic } of told) {
          expect(topic).toMatch(
            /^spBv1\.0\/Nursery\/[ND](BIRTH|DEATH|DATA)\/north-room(\/[^/]+)?$/,
          );
        }
      },
    );
    holds(
      [
        'tck-id-topic-structure-namespace-device-id-associated-message-types',
        'tck-id-topic-structure-namespace-device-id-non-associated-message-types',
      ],
      'messages of a tray have it in their topic, those of the node have none',
      () => {
        for (const { verb, device } of told) expect(device !== null).toBe(verb.startsWith('D'));
      },
    );
    for (const [ids, verb, device] of [
      [
        ['tck-id-topics-nbirth-topic', 'tck-id-message-flow-edge-node-birth-publish-nbirth-topic'],
        'NBIRTH',
        '',
      ],
      [['tck-id-topics-ndata-topic'], 'NDATA', ''],
      [
        [
          'tck-id-topics-dbirth-topic',
          'tck-id-message-flow-device-birth-publish-dbirth-topic',
          'tck-id-message-flow-device-birth-publish-dbirth-match-edge-node-topic',
        ],
        'DBIRTH',
        '/Pepper',
      ],
      [['tck-id-topics-ddata-topic'], 'DDATA', '/Pepper'],
      [['tck-id-topics-ddeath-topic'], 'DDEATH', '/Basil'],
    ] as const) {
      holds(ids, `${verb} is told at its own`, () => {
        expect(of(verb)[0]?.topic).toBe(`spBv1.0/Nursery/${verb}/north-room${device}`);
      });
    }
  });

  describe('every message', () => {
    for (const [verb, ids] of [
      [
        'NBIRTH',
        [
          'tck-id-topics-nbirth-mqtt',
          'tck-id-message-flow-edge-node-birth-publish-nbirth-qos',
          'tck-id-message-flow-edge-node-birth-publish-nbirth-retained',
          'tck-id-payloads-nbirth-qos',
          'tck-id-payloads-nbirth-retain',
        ],
      ],
      [
        'DBIRTH',
        [
          'tck-id-topics-dbirth-mqtt',
          'tck-id-message-flow-device-birth-publish-dbirth-qos',
          'tck-id-message-flow-device-birth-publish-dbirth-retained',
          'tck-id-payloads-dbirth-qos',
          'tck-id-payloads-dbirth-retain',
        ],
      ],
      [
        'NDATA',
        ['tck-id-topics-ndata-mqtt', 'tck-id-payloads-ndata-qos', 'tck-id-payloads-ndata-retain'],
      ],
      [
        'DDATA',
        ['tck-id-topics-ddata-mqtt', 'tck-id-payloads-ddata-qos', 'tck-id-payloads-ddata-retain'],
      ],
      ['DDEATH', ['tck-id-topics-ddeath-mqtt']],
    ] as const) {
      holds(ids, `${verb} has quality 0 and is not retained`, () => {
        expect(of(verb).length).toBeGreaterThan(0);
        for (const { qos, retain } of of(verb)) expect([qos, retain]).toEqual([0, false]);
      });
    }

    for (const [verb, ids] of [
      ['NBIRTH', ['tck-id-topics-nbirth-timestamp', 'tck-id-payloads-nbirth-timestamp']],
      ['DBIRTH', ['tck-id-topics-dbirth-timestamp', 'tck-id-payloads-dbirth-timestamp']],
      ['NDATA', ['tck-id-topics-ndata-timestamp', 'tck-id-payloads-ndata-timestamp']],
      ['DDATA', ['tck-id-topics-ddata-timestamp', 'tck-id-payloads-ddata-timestamp']],
      ['DDEATH', ['tck-id-payloads-ddeath-timestamp']],
    ] as const) {
      holds(ids, `${verb} says when it was sent`, () => {
        for (const { payload } of of(verb)) {
          expect(number(payload, 'timestamp')).toBeGreaterThan(BEGIN_MS);
          expect(number(payload, 'timestamp')).toBeLessThanOrEqual(endMs);
        }
      });
    }
    holds(
      ['tck-id-payloads-timestamp-in-UTC', 'tck-id-payloads-metric-timestamp-in-UTC'],
      'times are milliseconds since 1970 in UTC, whatever the zone of this computer',
      () => {
        for (const { payload } of told) {
          for (const one of [payload, ...metricsOf(payload)]) {
            expect(number(one, 'timestamp')).toBeGreaterThanOrEqual(BEGIN_MS);
            expect(number(one, 'timestamp')).toBeLessThanOrEqual(endMs);
          }
        }
      },
    );

    /** Each session's messages but deaths, in their order. */
    const sequences = (): readonly (readonly Told[])[] => {
      const starts = told.flatMap(({ verb }, i) => (verb === 'NBIRTH' ? [i] : []));
      return starts.map((from, i) =>
        told.slice(from, starts[i + 1]).filter(({ verb }) => verb !== 'NDEATH'),
      );
    };
    const numbered = (verb: string): void => {
      for (const sequence of sequences()) {
        for (const [i, one] of sequence.entries()) {
          if (one.verb === verb) expect(number(one.payload, 'seq')).toBe(i % 256);
        }
      }
    };
    for (const [verb, ids] of [
      [
        'NBIRTH',
        [
          'tck-id-topics-nbirth-seq-num',
          'tck-id-payloads-nbirth-seq',
          'tck-id-payloads-sequence-num-req-nbirth',
          'tck-id-message-flow-edge-node-birth-publish-nbirth-payload-seq',
        ],
      ],
      [
        'DBIRTH',
        [
          'tck-id-topics-dbirth-seq',
          'tck-id-payloads-dbirth-seq',
          'tck-id-message-flow-device-birth-publish-dbirth-payload-seq',
        ],
      ],
      ['NDATA', ['tck-id-topics-ndata-seq-num', 'tck-id-payloads-ndata-seq']],
      ['DDATA', ['tck-id-topics-ddata-seq-num', 'tck-id-payloads-ddata-seq']],
      [
        'DDEATH',
        [
          'tck-id-topics-ddeath-seq-num',
          'tck-id-payloads-ddeath-seq',
          'tck-id-payloads-ddeath-seq-number',
        ],
      ],
    ] as const) {
      holds(ids, `${verb} is numbered by its place after the birth, from 0`, () => numbered(verb));
    }
    holds(
      ['tck-id-payloads-sequence-num-always-included'],
      'all but deaths of the node have a number',
      () => {
        for (const { verb, payload } of told) {
          expect(field(payload, 'seq') === null).toBe(verb === 'NDEATH');
        }
      },
    );
    holds(
      ['tck-id-payloads-name-requirement', 'tck-id-payloads-name-birth-data-requirement'],
      'each value has its name and its time',
      () => {
        for (const { verb, payload } of told.filter((one) => one.verb !== 'NDEATH')) {
          expect(metricsOf(payload).length > 0).toBe(verb !== 'DDEATH');
          for (const one of metricsOf(payload)) {
            expect(field(one, 'name')).not.toBeNull();
            expect(field(one, 'timestamp')).not.toBeNull();
            expect(field(one, 'alias')).toBeNull();
          }
        }
      },
    );
  });

  describe('births', () => {
    holds(
      [
        'tck-id-principles-birth-certificates-order',
        'tck-id-message-flow-device-birth-publish-nbirth-wait',
      ],
      'that of the node is the first message of each session, before those of its trays',
      () => {
        const [first] = told;
        expect(first?.verb).toBe('NBIRTH');
        const after = told[told.findIndex(({ verb }) => verb === 'NDEATH') + 1];
        expect(after?.verb).toBe('NBIRTH');
      },
    );
    holds(
      [
        'tck-id-payloads-dbirth-order',
        'tck-id-payloads-ndata-order',
        'tck-id-payloads-ddata-order',
      ],
      'those of all trays follow at once, and no data comes before',
      () => {
        const starts = told.flatMap(({ verb }, i) => (verb === 'NBIRTH' ? [i] : []));
        expect(starts.length).toBe(3);
        for (const from of starts) {
          const next = told.slice(from + 1, from + 3);
          expect(next.map(({ verb, device }) => [verb, device])).toEqual([
            ['DBIRTH', 'Pepper'],
            ['DBIRTH', 'Basil'],
          ]);
        }
      },
    );
    holds(
      [
        'tck-id-message-flow-edge-node-birth-publish-nbirth-payload',
        'tck-id-message-flow-device-birth-publish-dbirth-payload',
      ],
      'protoc reads them by the schema of the specification, with no field it does not know',
      () => {
        for (const { payload } of of('NBIRTH', 'DBIRTH')) {
          expect(Object.keys(payload).sort()).toEqual(['metrics', 'seq', 'timestamp']);
        }
      },
    );
    const everyName = (births: readonly Told[], data: readonly Told[]): void => {
      const born = new Set(births.flatMap(({ payload }) => names(payload)));
      expect(data.length).toBeGreaterThan(0);
      for (const { payload } of data)
        for (const name of names(payload)) expect(born).toContain(name);
      for (const { payload } of births) expect(new Set(names(payload))).toEqual(born);
    };
    holds(
      ['tck-id-topics-nbirth-metric-reqs', 'tck-id-operational-behavior-data-publish-nbirth'],
      'that of the node has every metric that its data ever have',
      () => everyName(of('NBIRTH'), of('NDATA')),
    );
    holds(
      ['tck-id-topics-dbirth-metric-reqs', 'tck-id-operational-behavior-data-publish-dbirth'],
      'that of a tray has every metric that its data ever have',
      () => everyName(of('DBIRTH'), of('DDATA')),
    );
    const whole = (births: readonly Told[]): void => {
      for (const { payload } of births) {
        for (const one of metricsOf(payload)) {
          expect(field(one, 'datatype')).not.toBeNull();
          const values = Object.keys(one).filter((name) => name.endsWith('_value'));
          expect(values.length).toBe(field(one, 'is_null') === 'true' ? 0 : 1);
        }
      }
    };
    holds(
      ['tck-id-topics-nbirth-metrics', 'tck-id-operational-behavior-data-publish-nbirth-values'],
      'that of the node has name, type and value of each, or says that there is none',
      () => whole(of('NBIRTH')),
    );
    holds(
      ['tck-id-topics-dbirth-metrics', 'tck-id-operational-behavior-data-publish-dbirth-values'],
      'that of a tray has name, type and value of each, or says that there is none',
      () => {
        whole(of('DBIRTH'));
        const [birth] = of('DBIRTH');
        expect(field(metric(birth?.payload, 'Root Zone/Temperature'), 'double_value')).toBe('20');
        expect(field(metric(birth?.payload, 'Water/Next Dose'), 'is_null')).toBe('true');
      },
    );
    holds(
      [
        'tck-id-payloads-metric-datatype-value-type',
        'tck-id-payloads-metric-datatype-value',
        'tck-id-payloads-metric-datatype-req',
      ],
      'each type is a number of the specification, and fits the value',
      () => {
        const fields: Readonly<Record<string, string>> = {
          '3': 'int_value',
          '4': 'long_value',
          '10': 'double_value',
          '11': 'boolean_value',
          '12': 'string_value',
          '13': 'long_value',
        };
        for (const { payload } of of('NBIRTH', 'DBIRTH')) {
          for (const one of metricsOf(payload)) {
            const name = fields[field(one, 'datatype') ?? ''];
            expect(name).toBeDefined();
            if (field(one, 'is_null') !== 'true') expect(field(one, name ?? '')).not.toBeNull();
          }
        }
      },
    );
    holds(
      [
        'tck-id-topics-nbirth-rebirth-metric',
        'tck-id-payloads-nbirth-rebirth-req',
        'tck-id-operational-behavior-data-commands-rebirth-name',
        'tck-id-operational-behavior-data-commands-rebirth-datatype',
        'tck-id-operational-behavior-data-commands-rebirth-value',
      ],
      'that of the node has "Node Control/Rebirth", a Boolean that is false',
      () => {
        for (const { payload } of of('NBIRTH')) {
          const rebirth = metric(payload, 'Node Control/Rebirth');
          expect(field(rebirth, 'datatype')).toBe('11');
          expect(field(rebirth, 'boolean_value')).toBe('false');
        }
      },
    );
    const properties = (): readonly Message[] =>
      of('NBIRTH', 'DBIRTH').flatMap(({ payload }) =>
        metricsOf(payload).flatMap((one) => inner(one, 'properties')),
      );
    holds(
      [
        'tck-id-payloads-propertyset-keys-array-size',
        'tck-id-payloads-propertyset-values-array-size',
      ],
      'properties have as many keys as values',
      () => {
        expect(properties().length).toBeGreaterThan(10);
        for (const one of properties()) expect(one.keys?.length).toBe(one.values?.length);
      },
    );
    holds(
      [
        'tck-id-payloads-metric-propertyvalue-type-type',
        'tck-id-payloads-metric-propertyvalue-type-value',
        'tck-id-payloads-metric-propertyvalue-type-req',
      ],
      'each property has its type: a String or a Double',
      () => {
        for (const value of properties().flatMap((one) => inner(one, 'values'))) {
          expect(['10', '12']).toContain(field(value, 'type'));
        }
      },
    );
    it('have units and ranges: the root zone in °C from 0 to 85', () => {
      const [birth] = of('DBIRTH');
      const [set] = inner(metric(birth?.payload, 'Root Zone/Temperature'), 'properties');
      expect(set?.keys).toEqual(['engUnit', 'engLow', 'engHigh']);
      const [unit, low, high] = inner(set, 'values');
      expect([
        field(unit, 'string_value'),
        field(low, 'double_value'),
        field(high, 'double_value'),
      ]).toEqual(['°C', '0', '85']);
    });
    holds(
      ['tck-id-case-sensitivity-metric-names'],
      'no two metrics differ by large and small letters alone',
      () => {
        for (const { payload } of of('NBIRTH', 'DBIRTH')) {
          const lower = names(payload).map((name) => name?.toLowerCase());
          expect(new Set(lower).size).toBe(lower.length);
        }
      },
    );
  });

  describe('data', () => {
    holds(
      [
        'tck-id-principles-rbe-recommended',
        'tck-id-topics-ddata-payload',
        'tck-id-operational-behavior-data-publish-dbirth-change',
      ],
      'of a tray are what has changed, and nothing is told where nothing has',
      () => {
        const [first] = of('DDATA');
        expect(names(first?.payload ?? {})).toEqual(['Root Zone/Temperature']);
        const live = of('DDATA').filter(({ payload }) => !metricsOf(payload).some(isPast));
        expect(live.length).toBe(1);
      },
    );
    holds(
      ['tck-id-topics-ndata-payload', 'tck-id-operational-behavior-data-publish-nbirth-change'],
      'of the node are what has changed: a tray that is not heard, and then is',
      () => {
        expect(of('NDATA').map(({ payload }) => names(payload))).toEqual([
          ['Trays/Heard'],
          ['Trays/Heard'],
        ]);
      },
    );
    holds(
      [
        'tck-id-operational-behavior-data-publish-nbirth-order',
        'tck-id-operational-behavior-data-publish-dbirth-order',
      ],
      'and births have their values in the order of time',
      () => {
        for (const { payload } of told) {
          const times = metricsOf(payload)
            .filter((one) => !isPast(one))
            .map((one) => number(one, 'timestamp'));
          expect(times).toEqual([...times].sort((a, b) => a - b));
        }
      },
    );
    holds(['tck-id-payloads-metric-datatype-not-req'], 'leave the type to the birth', () => {
      for (const { payload } of of('NDATA', 'DDATA')) {
        for (const one of metricsOf(payload)) expect(field(one, 'datatype')).toBeNull();
      }
    });
    it('that no broker took, or lately took, are told again as history, with the times they are of', () => {
      const past = of('DDATA')
        .filter(({ device }) => device === 'Pepper')
        .flatMap(({ payload }) => metricsOf(payload).filter(isPast));
      const values = past
        .filter((one) => field(one, 'name') === 'Root Zone/Temperature')
        .map((one) => [field(one, 'double_value'), number(one, 'timestamp')] as const);
      expect(values.map(([value]) => value)).toEqual(['20', '21', '22', '23', '24']);
      const times = values.map(([, at]) => at);
      expect(times).toEqual([...new Set(times)].sort((a, b) => a - b));
    });
  });

  describe('a tray that is not heard', () => {
    holds(
      ['tck-id-operational-behavior-device-ddeath'],
      'is told as dead once, and born again when it is heard',
      () => {
        const basil = told.filter(({ device }) => device === 'Basil').slice(0, 3);
        expect(basil.map(({ verb }) => verb)).toEqual(['DBIRTH', 'DDEATH', 'DBIRTH']);
      },
    );
  });

  describe('a rebirth that a host asks for', () => {
    holds(
      [
        'tck-id-operational-behavior-data-commands-rebirth-action-1',
        'tck-id-operational-behavior-data-commands-rebirth-action-2',
      ],
      'is the whole sequence, and no data come between',
      () => {
        const second = told.indexOf(of('NBIRTH')[1] as Told);
        const verbs = told.slice(second, second + 3).map(({ verb }) => verb);
        expect(verbs).toEqual(['NBIRTH', 'DBIRTH', 'DBIRTH']);
      },
    );
  });
});
