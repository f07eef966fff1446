/** Statements about what every message of an edge node has: topic, quality, time, number, names. */
import { describe, expect } from 'vitest';
import { field, metricsOf } from './decoder';
import { BEGIN_MS, type Told } from './life';
import { type LifeAtBroker, number } from './life-at-broker';
import { holds } from './statement';

export function messageStatements(life: LifeAtBroker): void {
  describe('topics', () => {
    holds(
      ['tck-id-topic-structure', 'tck-id-topic-structure-namespace-a'],
      'namespace, group, verb, node, and a tray where it is of one',
      () => {
        for (const { topic } of life.told) {
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
        for (const { verb, device } of life.told)
          expect(device !== null).toBe(verb.startsWith('D'));
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
        expect(life.of(verb)[0]?.topic).toBe(`spBv1.0/Nursery/${verb}/north-room${device}`);
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
        expect(life.of(verb).length).toBeGreaterThan(0);
        for (const { qos, retain } of life.of(verb)) expect([qos, retain]).toEqual([0, false]);
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
        for (const { payload } of life.of(verb)) {
          expect(number(payload, 'timestamp')).toBeGreaterThan(BEGIN_MS);
          expect(number(payload, 'timestamp')).toBeLessThanOrEqual(life.endMs);
        }
      });
    }
    holds(
      ['tck-id-payloads-timestamp-in-UTC', 'tck-id-payloads-metric-timestamp-in-UTC'],
      'times are milliseconds since 1970 in UTC, whatever the zone of this computer',
      () => {
        for (const { payload } of life.told) {
          for (const one of [payload, ...metricsOf(payload)]) {
            expect(number(one, 'timestamp')).toBeGreaterThanOrEqual(BEGIN_MS);
            expect(number(one, 'timestamp')).toBeLessThanOrEqual(life.endMs);
          }
        }
      },
    );

    /** Each session's messages but deaths, in their order. */
    const sequences = (): readonly (readonly Told[])[] => {
      const starts = life.told.flatMap(({ verb }, i) => (verb === 'NBIRTH' ? [i] : []));
      return starts.map((from, i) =>
        life.told.slice(from, starts[i + 1]).filter(({ verb }) => verb !== 'NDEATH'),
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
        for (const { verb, payload } of life.told) {
          expect(field(payload, 'seq') === null).toBe(verb === 'NDEATH');
        }
      },
    );
    holds(
      ['tck-id-payloads-name-requirement', 'tck-id-payloads-name-birth-data-requirement'],
      'each value has its name and its time',
      () => {
        for (const { verb, payload } of life.told.filter((one) => one.verb !== 'NDEATH')) {
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
}
