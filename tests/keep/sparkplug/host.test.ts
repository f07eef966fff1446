/** An edge node that waits for a host: what it publishes while that is there, and what it does when it goes. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { EdgeNode } from '../../../cli/keep/open/sparkplug/edge-node';
import { BEGIN_MS, Node, until, verbsIn } from './life';
import { type Heard, Mosquitto, noBroker } from './mosquitto';
import { holds } from './statement';

const STATE = 'spBv1.0/STATE/plant';
const state = (online: boolean, timestamp: number): Buffer =>
  Buffer.from(JSON.stringify({ online, timestamp }));

/** A node at a broker, before anything is heard of its host. */
function waiting(): EdgeNode {
  const node = new EdgeNode(
    { group: 'G', node: 'N', host: 'plant', orders: false, devices: [] },
    null,
  );
  node.opening();
  expect(node.opened(BEGIN_MS)).toEqual([]);
  return node;
}

const hears = (node: EdgeNode, payload: Uint8Array, topic = STATE) =>
  node.received(topic, payload, true, BEGIN_MS);

describe('a host that is waited for', () => {
  holds(
    [
      'tck-id-message-flow-edge-node-birth-publish-phid-wait',
      'tck-id-operational-behavior-edge-node-birth-sequence-wait',
      'tck-id-operational-behavior-primary-application-state-with-multiple-servers-state-subs',
    ],
    'is listened for, and births wait until it is there',
    () => {
      const node = waiting();
      expect(node.topics).toContain(STATE);
      expect(node.look([], BEGIN_MS)).toEqual([]);
      const { frames } = hears(node, state(true, 1));
      expect(frames.map(({ topic }) => topic)).toEqual(['spBv1.0/G/NBIRTH/N']);
    },
  );
  holds(
    ['tck-id-message-flow-edge-node-birth-publish-phid-wait-id'],
    'is the one of the file: another is nobody',
    () => {
      const node = waiting();
      expect(hears(node, state(true, 1), 'spBv1.0/STATE/other').frames).toEqual([]);
      expect(node.phase).toBe('waiting');
    },
  );
  holds(
    ['tck-id-message-flow-edge-node-birth-publish-phid-wait-online'],
    'is there when it says "online": true, and not by anything else',
    () => {
      const node = waiting();
      for (const text of [
        '{"online":false,"timestamp":1}',
        '{"online":"true","timestamp":1}',
        'ON',
        '{"online":true}',
      ]) {
        expect(hears(node, Buffer.from(text)).frames).toEqual([]);
      }
      expect(node.phase).toBe('waiting');
    },
  );
  holds(
    ['tck-id-message-flow-edge-node-birth-publish-phid-wait-timestamp'],
    'is there by what it said last: the first that is heard counts, and an older one does not',
    () => {
      const node = waiting();
      hears(node, state(false, 10));
      expect(hears(node, state(true, 9)).frames).toEqual([]);
      expect(hears(node, state(true, 10)).frames).toHaveLength(1);
    },
  );
  holds(
    ['tck-id-operational-behavior-edge-node-termination-host-offline-timestamp'],
    'that says it is gone, by a message older than its last, is there still',
    () => {
      const node = waiting();
      hears(node, state(true, 10));
      expect(hears(node, state(false, 9)).leave).toBe(false);
      expect(node.phase).toBe('born');
    },
  );
});

describe.skipIf(noBroker)('at a broker', () => {
  let broker: Mosquitto;
  let heard: readonly Heard[];
  let node: Node;
  let clientsAfterLeaving = '';

  beforeAll(async () => {
    broker = await Mosquitto.start();
    heard = await broker.listen();
    node = new Node({ url: `mqtts://localhost:${broker.tlsPort}`, host: 'plant' });
    await node.until('waiting');
    expect(verbsIn(heard)).toEqual([]);
    broker.publish(STATE, state(true, 100), { qos: 1, retain: true });
    await until(() => verbsIn(heard).length === 3, 'births');
    broker.publish(STATE, state(false, 200), { qos: 1, retain: true });
    await until(() => verbsIn(heard).includes('NDEATH'), 'death');
    clientsAfterLeaving = node.state;
    node.set('Pepper', 25);
    await node.until('waiting');
    node.set('Pepper', 26);
    node.round();
  });
  afterAll(async () => {
    await node?.sparkplug.close();
    await broker?.stop();
  });

  holds(
    [
      'tck-id-message-flow-edge-node-birth-publish-phid-offline',
      'tck-id-operational-behavior-edge-node-termination-host-offline',
    ],
    'the node says goodbye and goes when the host does',
    () => {
      expect(clientsAfterLeaving).toBe('down');
      expect(verbsIn(heard).slice(0, 4)).toEqual(['NBIRTH', 'DBIRTH', 'DBIRTH', 'NDEATH']);
      expect(node.said.join()).toContain('the host "plant" is gone');
    },
  );
  holds(
    [
      'tck-id-operational-behavior-edge-node-termination-host-offline-reconnect',
      'tck-id-operational-behavior-primary-application-state-with-multiple-servers-walk',
    ],
    'it comes to the next broker of its list, which is this one, and waits there',
    () => {
      expect(node.state).toBe('waiting');
      expect(verbsIn(heard).filter((verb) => verb === 'NBIRTH')).toHaveLength(1);
    },
  );
  it('what happened meanwhile is told when the host is back', async () => {
    broker.publish(STATE, state(true, 300), { qos: 1, retain: true });
    await until(() => verbsIn(heard).at(-1) === 'DDATA', 'what was kept');
    expect(verbsIn(heard).slice(-4)).toEqual(['NBIRTH', 'DBIRTH', 'DBIRTH', 'DDATA']);
  });
});
