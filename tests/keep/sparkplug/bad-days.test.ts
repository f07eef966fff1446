/** Bad days of a broker, and of a node that is there twice: what is said of them, and what is lost. */
import { once } from 'node:events';
import { type AddressInfo, createServer } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { Secret } from '../../../cli/keep/config/secret';
import { field, metric, metricsOf } from './decoder';
import { Node, ROUND_MS, toldIn, until, verbsIn } from './life';
import { Line, Mosquitto, noBroker, PASSWORD } from './mosquitto';
import { holds } from './statement';

const ends: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});

async function brokerOf(certificate?: string): Promise<Mosquitto> {
  const broker = await Mosquitto.start(certificate);
  ends.push(() => broker.stop());
  return broker;
}

function nodeAt(
  broker: Mosquitto,
  changes: ConstructorParameters<typeof Node>[0] = {},
  identity?: string,
): Node {
  const node = new Node({ url: `mqtts://localhost:${broker.tlsPort}`, ...changes }, identity);
  ends.push(() => node.sparkplug.close());
  return node;
}

/** What is said of a broker that the node does not get to. */
async function saidBy(node: Node): Promise<string> {
  node.round();
  await until(() => node.said.length > 0, 'a word');
  expect(node.state).toBe('down');
  expect(node.said.join()).not.toContain(PASSWORD);
  return node.said.join('\n');
}

describe.skipIf(noBroker)('a broker', () => {
  it('that does not take the password lets nobody in, and that is said', async () => {
    const login = { user: 'trays', password: new Secret('wrong-password-8') };
    const said = await saidBy(nodeAt(await brokerOf(), { login }));
    expect(said).toMatch(
      /^Sparkplug: The broker mqtts:.* does not let the keeper in: .*[Nn]ot authori[sz]ed/,
    );
    expect(said).not.toContain('wrong-password-8');
  });

  it('that lets the user in and drops what it tells is noticed by the birth that does not come back', async () => {
    const login = { user: 'guest', password: new Secret(PASSWORD) };
    const node = nodeAt(await brokerOf(), { login });
    await node.until('up');
    for (let i = 0; i < 4; i++) node.round();
    expect(node.said).toEqual([
      expect.stringMatching(
        /gives no birth back .* must let it write to spBv1\.0\/Nursery\/\+\/north-room\/# and read spBv1\.0\/Nursery\/NBIRTH\/north-room\./,
      ),
    ]);
  });

  it('whose certificate has expired gets nothing, and is told of once, not each minute', async () => {
    const node = nodeAt(await brokerOf('expired.pem'));
    expect(await saidBy(node)).toContain('Its certificate has expired');
    for (let i = 0; i < 20; i++) {
      node.round();
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    expect(node.said).toHaveLength(1);
  });

  it('that nobody trusts gets nothing, not even the password', async () => {
    expect(await saidBy(nodeAt(await brokerOf(), { ca: null }))).toContain(
      'Nobody that this computer trusts has signed',
    );
  });

  it('that is not there is tried again and again, and all is told once it is', async () => {
    const broker = await brokerOf();
    await broker.kill();
    const node = nodeAt(broker);
    expect(await saidBy(node)).toContain('Nothing listens there.');
    node.set('Pepper', 22);
    node.round();
    await broker.run();
    const heard = await broker.listen();
    await node.until('up');
    await until(() => verbsIn(heard).includes('DDATA'), 'what was kept');
    expect(node.said.at(-1)).toBe('Sparkplug: the broker takes all again.');
  });

  it('that is killed and comes back is told what it missed, in a new session', async () => {
    const broker = await brokerOf();
    const node = nodeAt(broker);
    await node.until('up');
    await broker.kill();
    await until(() => node.state === 'down', 'the line is lost');
    expect(node.said.join()).toMatch(/is lost\. The line was cut/);
    for (const rootZoneC of [23, 25]) {
      node.set('Pepper', rootZoneC);
      node.round();
    }
    await broker.run();
    const heard = await broker.listen();
    await node.until('up');
    await until(() => verbsIn(heard).at(-1) === 'DDATA', 'what was kept');
    const told = toldIn(heard);
    expect(field(metric(told[0]?.payload, 'bdSeq'), 'long_value')).toBe('1');
    const past = told
      .filter(({ verb }) => verb === 'DDATA')
      .flatMap(({ payload }) => metricsOf(payload));
    expect(past.every((one) => field(one, 'is_historical') === 'true')).toBe(true);
    const values = past.filter((one) => field(one, 'name') === 'Root Zone/Temperature');
    expect(values.map((one) => field(one, 'double_value'))).toContain('23');
  });

  it('behind a line that swallows all without a word gets it again as history', async () => {
    const broker = await brokerOf();
    const heard = await broker.listen();
    const line = await Line.to(broker.plainPort);
    ends.push(() => line.stop());
    const node = nodeAt(broker, { url: `mqtt://127.0.0.1:${line.port}` });
    await node.until('up');
    line.die();
    node.set('Pepper', 24);
    node.round();
    line.revive();
    await until(() => node.state === 'down', 'the line is lost');
    await node.until('up');
    await until(() => verbsIn(heard).at(-1) === 'DDATA', 'what was swallowed');
    const values = toldIn(heard)
      .filter(({ verb, device }) => verb === 'DDATA' && device === 'Pepper')
      .flatMap(({ payload }) => metricsOf(payload))
      .filter((one) => field(one, 'name') === 'Root Zone/Temperature');
    expect(values.map((one) => field(one, 'double_value'))).toContain('24');
  });

  it('that takes the call and says nothing does not hold up the end of a keeper', async () => {
    const silent = createServer().listen(0, '127.0.0.1');
    await once(silent, 'listening');
    ends.push(async () => silent.close());
    const { port } = silent.address() as AddressInfo;
    const node = new Node({ url: `mqtt://127.0.0.1:${port}` });
    node.round();
    const [socket] = await once(silent, 'connection');
    ends.push(async () => socket.destroy());
    const beginMs = performance.now();
    await node.sparkplug.close();
    expect(performance.now() - beginMs).toBeLessThan(5_000);
    expect(node.said).toEqual([]);
  });

  it('hears the right times after this computer’s clock was set', async () => {
    const broker = await brokerOf();
    const heard = await broker.listen();
    const node = nodeAt(broker);
    await node.until('up');
    node.clockOffMs = -2 * 3_600_000;
    node.sparkplug.clockMoved(node.clockOffMs);
    await until(() => verbsIn(heard).length === 6, 'another birth');
    const times = toldIn(heard)
      .slice(3)
      .map(({ payload }) => Number(field(payload, 'timestamp')));
    for (const time of times) expect(Math.abs(time - node.nowMs)).toBeLessThan(ROUND_MS);
  });
});

describe.skipIf(noBroker)('two keepers with one node', () => {
  holds(
    [
      'tck-id-intro-edge-node-id-uniqueness',
      'tck-id-topic-structure-namespace-unique-edge-node-descriptor',
      'tck-id-payloads-nbirth-edge-node-descriptor',
    ],
    'the first is put out by the second, stays out, and says what to do',
    async () => {
      const broker = await brokerOf();
      const heard = await broker.listen();
      const first = nodeAt(broker, {}, 'first');
      await first.until('up');
      const second = nodeAt(broker, {}, 'second');
      await second.until('up');
      await until(() => first.state === 'taken-over', 'the first is out');
      expect(first.said.join()).toMatch(
        /Another program has come .* as node "north-room" of group "Nursery".*stays out.*give one of the two another "node:"/,
      );
      for (let i = 0; i < 30; i++) first.round();
      expect([first.state, second.state]).toEqual(['taken-over', 'up']);
      expect(verbsIn(heard)).not.toContain('NDEATH');
    },
  );
});
