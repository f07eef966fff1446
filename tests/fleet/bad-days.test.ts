/** A fleet on bad days: the built collector killed, a full disk, a broker that lets nobody in, strangers at its topics. */
import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { createInterface } from 'node:readline';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { Mosquitto } from '../../cli/fleet/bench/mosquitto';
import { boardOf } from '../../cli/fleet/bench/replay';
import { Receiver } from '../../cli/fleet/broker/receiver';
import { JournalSender } from '../../cli/fleet/sending/sender';
import { topicOf } from '../../cli/fleet/wire';
import { Program, unwrapped } from '../cli/program';
import { countOf, entriesOf, Fleet, HAS_SERVERS } from './fleet';

const SOON = { timeout: 30_000, interval: 100 };

describe.skipIf(!HAS_SERVERS)('a fleet on a bad day', () => {
  let fleet: Fleet;
  let program: Program;
  const collectors: ChildProcess[] = [];
  beforeAll(async () => {
    [fleet, program] = await Promise.all([Fleet.start(), Program.built()]);
  });
  afterEach(async () => {
    for (const collector of collectors.splice(0)) collector.kill('SIGKILL');
    await fleet.clear();
  });
  afterAll(async () => {
    await fleet.end();
    await program.end();
  });

  async function collector(file = fleet.file()): Promise<ChildProcess> {
    const words = ['--json', 'fleet', 'collect', file, '--name', 'a', '--until-stdin-closes'];
    const child = program.spawn(words);
    collectors.push(child);
    if (child.stdout === null) throw new Error('no output');
    await once(createInterface({ input: child.stdout }), 'line');
    return child;
  }

  /** Has a keeper send what its store has, again and again, until all of it is there. */
  async function allThere(sender: JournalSender, trays: Parameters<JournalSender['round']>[0]) {
    const wanted = trays.length * countOf(entriesOf(1));
    const rows = async (): Promise<number> => {
      sender.round(trays);
      return fleet.rows().catch(() => 0);
    };
    await expect.poll(rows, SOON).toBe(wanted);
    const lives = await fleet.ask('SELECT count(*) FROM fleet.lives');
    expect(Number(lives)).toBe(trays.length);
  }

  it('loses and doubles nothing when collector, broker and database are killed in turn', async () => {
    let running = await collector();
    const trays = Array.from({ length: 24 }, (_, i) => fleet.store('north', i, entriesOf(i)));
    const sender = fleet.sender('north');
    sender.round(trays.slice(0, 8));
    running.kill('SIGKILL');
    await once(running, 'exit');
    running = await collector();
    sender.round(trays.slice(0, 16));
    await fleet.broker.kill();
    await fleet.broker.run();
    sender.round(trays);
    await fleet.postgres.kill();
    await fleet.postgres.run();
    await allThere(sender, trays);
  });

  it('waits while the disk of the database is full, acknowledges nothing, and goes on', async () => {
    const full = `CREATE FUNCTION fleet.fill_up() RETURNS trigger LANGUAGE plpgsql AS
      $$ BEGIN RAISE EXCEPTION 'No space left on device' USING ERRCODE = 'disk_full'; END $$;
      CREATE TRIGGER fill_up BEFORE INSERT ON fleet.entries FOR EACH ROW EXECUTE FUNCTION fleet.fill_up()`;
    await fleet.postgres.as('owner', (client) => client.query(full));
    const session = await fleet.collect('a');
    const trays = [1, 2].map((tray) => fleet.store('north', tray, entriesOf(tray)));
    const sender = fleet.sender('north');
    sender.round(trays);
    expect((await session.lost).message).toContain('its disk is full');
    await session.close();
    expect(await fleet.rows()).toBe(0);
    await fleet.postgres.as('owner', (client) =>
      client.query('DROP FUNCTION fleet.fill_up CASCADE'),
    );
    await fleet.collect('a');
    // By the broker, which has it still: nothing is asked for.
    await expect.poll(() => fleet.rows(), SOON).toBe(2 * countOf(entriesOf(1)));
    expect(Number(await fleet.ask('SELECT sum(asks) FROM fleet.lives'))).toBe(0);
  });

  it('says that a broker lets nobody in, and keeps all until it does', async () => {
    const closed = await Mosquitto.start(['allow_anonymous false']);
    try {
      const broker = { url: closed.url, login: null, ca: null };
      const options = { clientId: 'x', topics: ['x'], aheadMost: 1, sessionS: 0 };
      const idle = { take: () => undefined, lost: () => undefined };
      await expect(Receiver.open(broker, { ...options, ...idle })).rejects.toMatchObject({
        kind: 'refused',
        message: expect.stringContaining('does not let this user in'),
      });
      const said: string[] = [];
      const sender = new JournalSender(
        { broker, topic: 'trayward/fleet', keeper: 'north' },
        {
          store: fleet.storeOf('north'),
          steadyMs: () => performance.now(),
          say: (text) => said.push(text),
        },
      );
      sender.round([fleet.store('north', 1, entriesOf(1))]);
      await sender.settled();
      await sender.close();
      expect(said.join()).toContain('They wait in the store');
    } finally {
      await closed.stop();
    }
  });

  it('does not wait for ever for a broker that dies while it greets', async () => {
    // A greeting as MQTT 5 has it, and no word after it.
    const greeting = Buffer.from([0x20, 0x03, 0x00, 0x00, 0x00]);
    for (const answer of [Buffer.alloc(0), greeting]) {
      const dying = createServer((socket) => {
        socket.on('error', () => undefined);
        socket.once('data', () => {
          socket.write(answer);
          socket.once('data', () => socket.destroy());
          if (answer.length === 0) socket.destroy();
        });
      });
      dying.listen(0, '127.0.0.1');
      await once(dying, 'listening');
      const { port } = Object(dying.address());
      const sender = new JournalSender(
        {
          broker: { url: `mqtt://127.0.0.1:${port}`, login: null, ca: null },
          ...{ topic: 'trayward/fleet', keeper: 'north' },
        },
        { store: fleet.storeOf('north'), steadyMs: () => performance.now(), say: () => undefined },
      );
      sender.round([fleet.store('north', 1, entriesOf(1))]);
      const sinceMs = performance.now();
      await sender.settled();
      expect(performance.now() - sinceMs).toBeLessThan(10_000);
      await sender.close();
      dying.close();
    }
  });

  it('says when nobody collects, and sends it once somebody does', async () => {
    const sender = fleet.sender('north');
    const trays = [fleet.store('north', 1, entriesOf(1))];
    sender.round(trays);
    await sender.settled();
    expect(fleet.said.join()).toContain('Nobody collects at');
    await fleet.collect('a');
    await allThere(sender, trays);
  });

  it('leaves out what strangers say at its topics, and stores the rest', async () => {
    const counts = { entries: 0, known: 0, refused: 0 };
    await fleet.collect('a', counts);
    const { broker, topic } = fleet.plan;
    const stranger = await Receiver.open(broker, {
      ...{ clientId: 'stranger', topics: ['x'], aheadMost: 1, sessionS: 0 },
      ...{ take: () => undefined, lost: () => undefined },
    });
    const at = topicOf(topic, 'entries', 'north', boardOf(1));
    for (const text of [
      '',
      'x',
      '{"v":1}\n',
      `{"v":1,"tray":"a","mark":[1,2,3],"whole":[1,2]}\nxyz`,
    ]) {
      stranger.publish(at, text);
    }
    stranger.publish(topicOf(topic, 'alarms', 'north', boardOf(1)), '{');
    stranger.publish(`${topic}/ends/north`, '[]');
    stranger.publish(`${topic}/profiles/north/1a`, 'no profile');
    stranger.publish(topicOf(topic, 'ask', 'north'), '{"v":1,"controller":"../../etc/passwd"}');
    await expect.poll(() => counts.refused, SOON).toBe(5);
    await stranger.close();
    await allThere(fleet.sender('north'), [fleet.store('north', 1, entriesOf(1))]);
  });

  it('is told in words what a file, a password or a server lacks', async () => {
    const good = await program.run(['fleet', 'check', fleet.file()]);
    expect(unwrapped(good.stdout)).toContain('the database as owner, collector, reader');
    const wrong = fleet.file((text) =>
      text
        .replace('broker: { url: "mqtt', 'broker: { user: x, url: "mqtt')
        .replace('host: 127.0.0.1', 'host: db.example.org'),
    );
    const told = await program.run(['fleet', 'check', wrong]);
    expect(told.code).toBe(2);
    expect(unwrapped(told.stderr)).toContain('There are 2 mistakes');
    expect(unwrapped(told.stderr)).toContain('A user has a password, and a password a user');
    expect(unwrapped(told.stderr)).toContain('Over a network the database is spoken to with TLS');
    const file = fleet.file();
    writeFileSync(file.replace('fleet.yaml', 'collect-password'), 'sesame-opens-7');
    const refused = await program.run(['fleet', 'collect', file]);
    expect(refused.code).toBe(1);
    expect(unwrapped(refused.stderr)).toContain('It takes another password from collect.');
    expect(refused.stderr).not.toContain('sesame');
    rmSync(file);
  });
});
