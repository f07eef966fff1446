/** Statements about what an edge node says of its session: how it begins, its will, an end that is meant. */
import type { IDisconnectPacket, IPublishPacket, ISubscribePacket } from 'mqtt-packet';
import { describe, expect } from 'vitest';
import { field, metric } from './decoder';
import { bdSeq, type LifeAtBroker, names, number } from './life-at-broker';
import { holds } from './statement';

export function sessionStatements(life: LifeAtBroker): void {
  describe('a session', () => {
    holds(
      ['tck-id-principles-persistence-clean-session-50'],
      'it is clean, and ends with the line',
      () => {
        expect(life.connects.length).toBe(2);
        for (const { protocolVersion, clean, properties } of life.connects) {
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
        const order = life.packets.map(({ cmd }) => cmd).filter((cmd) => cmd !== 'pingreq');
        expect(order.slice(0, 3)).toEqual(['connect', 'subscribe', 'publish']);
        expect(life.ncmdQos).toBe(1);
      },
    );

    holds(
      ['tck-id-message-flow-device-dcmd-subscribe', 'tck-id-topics-dcmd-topic'],
      'it listens for orders to each tray, with quality 1',
      () => {
        const packet = life.packets.find((one): one is ISubscribePacket => one.cmd === 'subscribe');
        const wanted = (packet?.subscriptions ?? []).map(({ topic, qos }) => [topic, qos]);
        expect(wanted).toContainEqual(['spBv1.0/Nursery/DCMD/north-room/Pepper', 1]);
        expect(wanted).toContainEqual(['spBv1.0/Nursery/DCMD/north-room/Basil', 1]);
      },
    );

    holds(
      ['tck-id-operational-behavior-primary-application-state-with-multiple-servers-single-server'],
      'one stands at a time: each begins after the one before has ended',
      () => {
        const order = life.told
          .map(({ verb }) => verb)
          .filter((verb) => /^N(BIRTH|DEATH)$/.test(verb));
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
        expect(life.connects.map(({ will }) => will?.topic)).toEqual(
          life.connects.map(() => 'spBv1.0/Nursery/NDEATH/north-room'),
        );
        expect(life.of('NDEATH').every(({ device }) => device === null)).toBe(true);
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
        for (const { will } of life.connects) expect([will?.qos, will?.retain]).toEqual([1, false]);
        const [first] = life.of('NDEATH');
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
        for (const will of [...life.wills(), ...life.of('NDEATH').map(({ payload }) => payload)]) {
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
        expect(life.wills().map(bdSeq)).toEqual([0, 1]);
        for (const will of life.wills()) expect(number(metric(will, 'bdSeq'), 'datatype')).toBe(4);
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
        expect(life.of('NBIRTH').map(({ payload }) => bdSeq(payload))).toEqual([0, 0, 1]);
        expect(life.of('NDEATH').map(({ payload }) => bdSeq(payload))).toEqual([0, 1, 1]);
        for (const { payload } of life.of('NBIRTH')) {
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
        const last = life.packets.slice(-2).map(({ cmd }) => cmd);
        expect(last).toEqual(['publish', 'disconnect']);
        const death = life.packets.at(-2) as IPublishPacket;
        expect(death.topic).toBe('spBv1.0/Nursery/NDEATH/north-room');
      },
    );
    holds(
      [
        'tck-id-operational-behavior-edge-node-intentional-disconnect-packet',
        'tck-id-payloads-ndeath-will-message-publisher-disconnect-mqtt50',
      ],
      'the DISCONNECT says that the will is to be published: 4',
      () => expect((life.packets.at(-1) as IDisconnectPacket).reasonCode).toBe(4),
    );
  });
}
