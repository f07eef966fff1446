/** An edge node without a broker: numbers that run over, names, orders, and what is kept while nobody hears. */
import { describe, expect, it } from 'vitest';
import { checkKeepText } from '../../../cli/keep/config/check';
import { OPEN_LIMITS } from '../../../cli/keep/limits';
import { EdgeNode } from '../../../cli/keep/open/sparkplug/edge-node';
import { History } from '../../../cli/keep/open/sparkplug/history';
import type { Frame } from '../../../cli/keep/open/sparkplug/messages';
import type { NodeOptions, Seen } from '../../../cli/keep/open/sparkplug/node-model';
import { decode, type Payload } from '../../../cli/keep/open/sparkplug/payload';
import { topicOf } from '../../../cli/keep/open/sparkplug/topics';
import { written } from './decoder';
import { BEGIN_MS, ROUND_MS, statusInUse } from './life';
import { noBroker } from './mosquitto';
import { holds } from './statement';

const STATUS = statusInUse();

const seen = (device: string, rootZoneC: number | null, atMs: number): Seen => ({
  ...{ device, atMs },
  reading:
    rootZoneC === null
      ? null
      : {
          status: { ...STATUS, heat: { ...STATUS.heat, rootZoneC } },
          ...{ apartMs: 0, nextDoseMs: null },
        },
});

function nodeOf(changes: Partial<NodeOptions> = {}, bdSeq: number | null = null): EdgeNode {
  const options = { group: 'Nursery', node: 'north', host: null, orders: true };
  return new EdgeNode({ ...options, devices: ['Pepper', 'Basil'], ...changes }, bdSeq);
}

const payloadOf = ({ payload }: Frame): Payload => decode(payload) ?? { metrics: [] };
const verbOf = ({ topic }: Frame): string => topic.split('/')[2] ?? '';

/** A node whose births stand. */
function born(changes: Partial<NodeOptions> = {}): { node: EdgeNode; frames: Frame[] } {
  const node = nodeOf(changes);
  node.look([seen('Pepper', 20, BEGIN_MS), seen('Basil', 20, BEGIN_MS)], BEGIN_MS);
  node.opening();
  return { node, frames: [...node.opened(BEGIN_MS)] };
}

describe('numbers of messages', () => {
  const { node, frames } = born();
  // Data, deaths, births and data of the node, until all of them have passed 255.
  for (let round = 1; frames.length < 900; round++) {
    const atMs = BEGIN_MS + round * ROUND_MS;
    const basil = round % 3 === 0 ? null : 20;
    frames.push(
      ...node.look([seen('Pepper', 20 + (round % 2), atMs), seen('Basil', basil, atMs)], atMs),
    );
  }
  for (const [verb, id] of [
    ['NDATA', 'tck-id-payloads-ndata-seq-inc'],
    ['DDATA', 'tck-id-payloads-ddata-seq-inc'],
    ['DBIRTH', 'tck-id-payloads-dbirth-seq-inc'],
    ['DDEATH', 'tck-id-payloads-ddeath-seq-inc'],
    ['', 'tck-id-payloads-sequence-num-incrementing'],
  ] as const) {
    holds(
      [id],
      `${verb === '' ? 'all go' : `${verb} goes`} on by one from the one before, and 0 follows 255`,
      () => {
        const told = frames.flatMap((frame, i) =>
          verbOf(frame).startsWith(verb) ? [[payloadOf(frame).seq, i % 256] as const] : [],
        );
        expect(told.length).toBeGreaterThan(100);
        for (const [seq, wanted] of told) expect(seq).toBe(wanted);
      },
    );
  }

  it('of sessions go on over a start of the keeper, and 0 follows 255', () => {
    expect(nodeOf({}, 7).opening()).toBe(8);
    expect(nodeOf({}, 255).opening()).toBe(0);
    expect(nodeOf({}, null).opening()).toBe(0);
  });
});

describe('names', () => {
  const file = (tray: string, sparkplug: string): string => `trayward-keep: 1
name: north-room
trays:
  - { name: ${JSON.stringify(tray)}, port: /dev/a }
  - { name: basil, port: /dev/b }
doors: [{ name: house, kind: mqtt, url: "mqtt://127.0.0.1", topic: a }]
tell: [{ who: Ann, door: house }]
sparkplug: { url: "mqtt://127.0.0.1", ${sparkplug} }
`;
  const said = (tray: string, sparkplug: string): string =>
    checkKeepText(file(tray, sparkplug), 'room.yaml', {})
      .problems.map(({ path, why }) => `${path}: ${why}`)
      .join('\n');

  holds(
    [
      'tck-id-intro-group-id-chars',
      'tck-id-intro-edge-node-id-chars',
      'tck-id-topic-structure-namespace-valid-group-id',
      'tck-id-topic-structure-namespace-valid-edge-node-id',
    ],
    'of group and node with +, # or / in them are refused',
    () => {
      for (const bad of ['a+b', 'a#b', 'a/b']) {
        expect(said('Pepper', `group: "${bad}"`)).toMatch(/^sparkplug\.group: .*no \+, # or \//);
        expect(said('Pepper', `group: G, node: "${bad}"`)).toMatch(/^sparkplug\.node: /);
      }
    },
  );
  holds(
    ['tck-id-intro-device-id-chars', 'tck-id-topic-structure-namespace-valid-device-id'],
    'of trays with +, # or / in them are refused where there is Sparkplug',
    () => {
      for (const bad of ['a+b', 'a#b', 'a/b']) {
        expect(said(bad, 'group: G')).toMatch(/^trays\[0\]\.name: .*no \+, # or \//);
      }
    },
  );
  holds(
    [
      'tck-id-intro-group-id-string',
      'tck-id-intro-edge-node-id-string',
      'tck-id-intro-device-id-string',
    ],
    'may be anything else in UTF-8, and stand in topics as they are',
    () => {
      expect(said('Küche süd', 'group: "Gärtnerei", node: "Haus ß"')).toBe('');
      const topic = topicOf({ group: 'Gärtnerei', node: 'Haus ß' }, 'DDATA', 'Küche süd');
      expect(topic).toBe('spBv1.0/Gärtnerei/DDATA/Haus ß/Küche süd');
    },
  );
  holds(
    ['tck-id-topic-structure-namespace-unique-device-id'],
    'of two trays are never the same',
    () => expect(said('basil', 'group: G')).toContain('Two trays have this name'),
  );
  holds(
    ['tck-id-case-sensitivity-sparkplug-ids'],
    'of two trays differ by more than large and small letters',
    () => {
      const all = said('Basil', 'group: G');
      expect(all).toBe(
        'trays[1].name: For Sparkplug two names differ by more than large and small letters.',
      );
    },
  );
  holds(
    ['tck-id-topic-structure-namespace-duplicate-device-id-across-edge-node'],
    'of trays may stand at another node as well: their topics differ',
    () => {
      const topics = ['north', 'south'].map((node) => born({ node }).frames[1]?.topic);
      expect(topics).toEqual([
        'spBv1.0/Nursery/DBIRTH/north/Pepper',
        'spBv1.0/Nursery/DBIRTH/south/Pepper',
      ]);
    },
  );
});

describe.skipIf(noBroker)('an order', () => {
  const DCMD = 'spBv1.0/Nursery/DCMD/north/Pepper';
  const order = (metrics: string, changes: Partial<NodeOptions> = {}, topic = DCMD) =>
    born(changes).node.received(topic, written(metrics), false, BEGIN_MS);

  holds(
    ['tck-id-payloads-name-cmd-requirement'],
    'is taken with and without the time of its value',
    () => {
      for (const time of ['', 'timestamp: 1']) {
        const { orders } = order(
          `timestamp: 1 metrics { name: "Mark/Emerged" ${time} boolean_value: true }`,
        );
        expect(orders).toEqual([{ device: 'Pepper', order: { kind: 'mark', mark: 'emerged' } }]);
      }
    },
  );

  it('may be that an alarm is seen or mended', () => {
    const { orders } = order(
      'metrics { name: "Alarm/Seen" string_value: "too-cold" } metrics { name: "Alarm/Mended" string_value: "mat-hot" }',
    );
    expect(orders.map((one) => one.order)).toEqual([
      { kind: 'seen', alarm: 'too-cold' },
      { kind: 'mended', alarm: 'mat-hot' },
    ]);
  });

  it.each([
    ['metrics { name: "Mat/On" boolean_value: true }', /Only alarms are seen or mended/],
    ['metrics { name: "Water/Pump On" boolean_value: true }', /Only alarms are seen or mended/],
    ['metrics { alias: 3 boolean_value: true }', /Only alarms are seen or mended/],
    ['metrics { name: "Alarm/Seen" string_value: "rain" }', /wants the name of an alarm/],
    ['metrics { name: "Mark/Sown" boolean_value: false }', /wants the value true/],
    ['metrics { name: "Mark/Sown" int_value: 1 }', /wants the value true/],
  ])('%s is refused, and said', (metrics, why) => {
    const { orders, refused } = order(metrics);
    expect(orders).toEqual([]);
    expect(refused.join()).toMatch(why);
  });

  it('that no payload is, or too large a one, is refused', () => {
    const { node } = born();
    for (const bytes of [Buffer.from([0xff, 0xff]), Buffer.alloc(OPEN_LIMITS.commandBytes + 1)]) {
      expect(node.received(DCMD, bytes, false, BEGIN_MS).refused.join()).toMatch(/no payload/);
    }
  });

  it('that the broker kept is refused: nobody knows how old it is', () => {
    const bytes = written('metrics { name: "Mark/Sown" boolean_value: true }');
    const { orders, refused } = born().node.received(DCMD, bytes, true, BEGIN_MS);
    expect([orders, refused.join()]).toEqual([[], expect.stringContaining('The broker kept this')]);
  });

  it('to a tray is not even heard where the file does not allow any, and no birth has room for it', () => {
    const bytes = written('metrics { name: "Mark/Sown" boolean_value: true }');
    const { node, frames } = born({ orders: false });
    const { orders, refused } = node.received(DCMD, bytes, false, BEGIN_MS);
    expect([orders, refused]).toEqual([[], []]);
    expect(node.topics.filter((topic) => topic.includes('DCMD'))).toEqual([]);
    const names = frames.flatMap((frame) => payloadOf(frame).metrics.map(({ name }) => name));
    expect(names.filter((name) => /^(Alarm|Mark|Order)\//.test(name ?? ''))).toEqual([]);
  });

  it('to the node is a rebirth, and nothing else, whatever the file allows', () => {
    const { frames, refused } = order(
      'metrics { name: "Node Control/Reboot" boolean_value: true }',
      { orders: false },
      'spBv1.0/Nursery/NCMD/north',
    );
    expect([frames, refused.join()]).toEqual([[], expect.stringContaining('no order but')]);
  });
});

describe('what is kept', () => {
  const sample = (atMs: number, count = 1) => ({
    ...{ device: 'Pepper', atMs },
    values: Array.from({ length: count }, (_, at) => ({ at, value: atMs })),
  });

  it('is bounded: the oldest is given up, and counted', () => {
    const history = new History(10);
    for (let atMs = 1; atMs <= 8; atMs++) history.keep(sample(atMs, 2));
    expect([history.waiting, history.dropped]).toEqual([10, 6]);
    expect(history.take(() => true, 100).map(({ atMs }) => atMs)).toEqual([4, 5, 6, 7, 8]);
  });

  it('of a tray that is silent waits until it is born', () => {
    const history = new History();
    history.keep(sample(1));
    expect(history.take((device) => device === 'Basil', 5)).toEqual([]);
    expect(history.take((device) => device === 'Pepper', 5)).toHaveLength(1);
    expect(history.take(() => true, 6)).toEqual([]);
  });

  it('after a line broke is what was told in its last minute as well', () => {
    const history = new History();
    history.sent(sample(1), 1);
    history.sent(sample(2), OPEN_LIMITS.inFlightMs);
    history.lineBroke(OPEN_LIMITS.inFlightMs + 2);
    expect(history.take(() => true, 9e9).map(({ atMs }) => atMs)).toEqual([2]);
  });

  it('is told in messages that a broker takes, in the order of time', () => {
    const node = nodeOf();
    for (let round = 0; round < 700; round++) {
      const atMs = BEGIN_MS + round * ROUND_MS;
      node.look([seen('Pepper', 20 + (round % 5), atMs)], atMs);
    }
    node.opening();
    const nowMs = BEGIN_MS + 700 * ROUND_MS;
    const past = node
      .opened(nowMs)
      .filter((frame) => verbOf(frame) === 'DDATA')
      .map(payloadOf);
    expect(past.length).toBe(Math.ceil((700 + 26 - 1) / OPEN_LIMITS.messageValues));
    const metrics = past.flatMap((one) => one.metrics);
    expect(metrics.every(({ isHistorical }) => isHistorical)).toBe(true);
    const times = metrics.map(({ timestamp = 0 }) => timestamp);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });
});

describe('a clock that is set', () => {
  it('is followed by a birth with the times that hold now, and moves what was kept', () => {
    const byMs = 3 * 3_600_000;
    const { node } = born();
    const nowMs = BEGIN_MS + byMs;
    const frames = node.clockMoved(byMs, nowMs);
    expect(frames.map(verbOf)).toEqual(['NBIRTH', 'DBIRTH', 'DBIRTH']);
    for (const { metrics, timestamp } of frames.map(payloadOf)) {
      for (const one of [timestamp, ...metrics.map((metric) => metric.timestamp)])
        expect(one).toBe(nowMs);
    }
    const away = nodeOf();
    away.look([seen('Pepper', 20, BEGIN_MS)], BEGIN_MS);
    away.look([seen('Pepper', 21, BEGIN_MS + ROUND_MS)], BEGIN_MS + ROUND_MS);
    away.clockMoved(byMs, nowMs);
    away.opening();
    const [, , past] = away.opened(nowMs).map(payloadOf);
    expect(past?.metrics[0]?.timestamp).toBe(nowMs);
  });
});
