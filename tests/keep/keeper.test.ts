/** A keeper of simulated trays, with a webhook on loopback: what people are told, and what not. */
import { afterEach, describe, expect, it } from 'vitest';
import { Secret } from '../../cli/keep/config/secret';
import { type Door, DoorError } from '../../cli/keep/doors/door';
import { createMailDoor } from '../../cli/keep/doors/mail';
import { createWebhookDoor } from '../../cli/keep/doors/webhook';
import type { OutboxDisk } from '../../cli/keep/outbox/disk';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../shared/units/time';
import { Grower, TEST_PROFILE } from '../simulation/grower';
import { Room, tell } from './room';
import { AUTHORITY, MailServer, PASSWORD, Receiver, USER } from './servers';

const ends: (() => unknown)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});

/** A tray in service. */
function trayInUse(seed: number): Grower {
  const grower = new Grower({ seed });
  grower.commission(TEST_PROFILE);
  grower.call('mark.set', { mark: 'refilled', volumeMl: 2500, feedEc: 0.8 });
  grower.bench.run(2 * HOUR_MS);
  return grower;
}

async function roomOf(names: readonly string[], disk?: OutboxDisk) {
  const trays = Object.fromEntries(names.map((name, i) => [name, trayInUse(i + 1)]));
  const room = new Room({ trays, tells: [tell('Ann', 'hook')], ...(disk ? { disk } : {}) });
  const receiver = await Receiver.start();
  const url = new Secret(receiver.url);
  const door = { name: 'hook', kind: 'webhook', url, secret: new Secret('s') } as const;
  const doors = new Map([['hook', createWebhookDoor(door)]]);
  room.start(doors);
  ends.push(
    () => room.end(),
    () => receiver.stop(),
  );
  const first = trays[names[0] ?? ''];
  if (first === undefined) throw new Error('a room has a tray');
  return { room, receiver, trays, first, doors };
}

const textOf = (receiver: Receiver, at: number): string =>
  JSON.parse(receiver.posts[at]?.body ?? '{}').data?.text ?? '';

describe('a keeper', () => {
  it('tells of a broken probe at once: what, since when, what it holds off, what to do, and how to make it quiet', async () => {
    const { room, receiver, first } = await roomOf(['Pepper north', 'Basil']);
    await room.run(MINUTE_MS);
    expect(receiver.posts).toEqual([]);
    first.bench.fault('probe-open', true);
    await room.run(2 * MINUTE_MS);
    expect(receiver.subjects).toEqual(['Pepper north: root-zone probe open']);
    const text = textOf(receiver, 0);
    expect(text).toMatch(/^Pepper north: root-zone probe open\.\n/);
    expect(text).toMatch(/Since \d\d:\d\d, for less than a minute\./);
    expect(text).toContain('Held off meanwhile: heat.');
    expect(text).toMatch(/Do this:\n1\. /);
    expect(text).toContain('`trayward alarm seen probe-open --port Pepper north`');
  });

  it('repeats it until somebody has seen it at the tray, and says when it is over', async () => {
    const { room, receiver, first } = await roomOf(['Pepper']);
    first.bench.fault('probe-open', true);
    await room.run(35 * MINUTE_MS, 30 * SECOND_MS);
    expect(receiver.subjects.map((one) => one.split(': ')[1])).toEqual([
      'root-zone probe open',
      'still so',
    ]);
    first.call('alarm.accept', { alarm: 'probe-open' });
    await room.run(3 * HOUR_MS, 10 * MINUTE_MS);
    expect(receiver.subjects).toHaveLength(2);
    first.bench.fault('probe-open', false);
    first.bench.run(3 * MINUTE_MS);
    first.call('alarm.clear', { alarm: 'probe-open' });
    await room.run(10 * MINUTE_MS);
    expect(receiver.subjects.at(-1)).toContain('over: ');
    expect(textOf(receiver, 2)).toMatch(/It was so from \d\d:\d\d to \d\d:\d\d, for 3 h/);
  });

  it('tells of a tray that is silent for a quarter of an hour, and when it is heard again', async () => {
    const { room, receiver } = await roomOf(['Pepper', 'Basil']);
    await room.run(MINUTE_MS);
    room.pulled.add('Pepper');
    await room.run(14 * MINUTE_MS);
    expect(receiver.posts).toEqual([]);
    await room.run(2 * MINUTE_MS);
    expect(receiver.subjects).toEqual(['Pepper: tray not heard']);
    expect(textOf(receiver, 0)).toContain('There is no port Pepper.');
    room.pulled.delete('Pepper');
    await room.run(10 * MINUTE_MS);
    expect(receiver.subjects.at(-1)).toBe('Pepper: over: tray not heard');
  });

  it('tells once of what happened while it did not run, and nothing again after a start', async () => {
    const { room, receiver, first, doors } = await roomOf(['Pepper']);
    await room.run(MINUTE_MS);
    first.bench.fault('probe-open', true);
    first.bench.run(2 * MINUTE_MS);
    first.bench.fault('probe-open', false);
    first.bench.run(2 * MINUTE_MS);
    first.call('alarm.accept', { alarm: 'probe-open' });
    first.call('alarm.clear', { alarm: 'probe-open' });
    room.start(doors);
    await room.run(MINUTE_MS);
    expect(receiver.subjects).toEqual(['Pepper: was so, and is over: root-zone probe open']);
    room.start(doors);
    await room.run(5 * MINUTE_MS);
    expect(receiver.subjects).toHaveLength(1);
  });

  it('tells in the morning of each tray, in a line, what it did and what waits', async () => {
    const { room, receiver } = await roomOf(['Pepper', 'Basil']);
    await room.run(25 * HOUR_MS, 30 * MINUTE_MS);
    expect(receiver.subjects).toEqual(['Morning: all well with all 2 trays']);
    expect(textOf(receiver, 0)).toMatch(
      /^Pepper: all well: \d\d\.\d °C to \d\d\.\d °C, not fed, .*next task: .*\n\nBasil: all well: /,
    );
  });

  it('goes on when this computer’s clock jumps: nobody is told that the trays are silent', async () => {
    const { room, receiver } = await roomOf(['Pepper']);
    await room.run(MINUTE_MS);
    room.pulled.add('Pepper');
    await room.run(5 * MINUTE_MS);
    room.clockOffMs = 3 * HOUR_MS;
    await room.run(5 * MINUTE_MS);
    room.clockOffMs = -3 * HOUR_MS;
    await room.run(3 * MINUTE_MS);
    expect(receiver.posts).toEqual([]);
    expect(room.said.join()).toContain('The clock of this computer moved by 10800 s');
    await room.run(4 * MINUTE_MS);
    expect(receiver.subjects).toEqual(['Pepper: tray not heard']);
  });

  it('on a full disk says so, by its doors too, and tells of alarms all the same', async () => {
    let isFull = false;
    let bytes: Uint8Array = new Uint8Array();
    const full = (): void => {
      if (isFull) throw Object.assign(new Error('no space'), { code: 'ENOSPC' });
    };
    const disk: OutboxDisk = {
      read: () => bytes,
      append(more) {
        full();
        bytes = Uint8Array.from([...bytes, ...more]);
      },
      replace(all) {
        full();
        bytes = all;
      },
    };
    const { room, receiver, first, doors } = await roomOf(['Pepper'], disk);
    await room.run(MINUTE_MS);
    isFull = true;
    first.bench.fault('probe-open', true);
    await room.run(2 * MINUTE_MS);
    expect(room.said.join()).toContain('The outbox cannot be written (ENOSPC)');
    expect(receiver.subjects).toEqual([
      'Pepper: root-zone probe open',
      'Keeper room: the disk of the keeper is full or broken',
    ]);
    isFull = false;
    await room.run(10 * MINUTE_MS);
    expect(receiver.subjects.at(-1)).toBe(
      'Keeper room: over: the disk of the keeper is full or broken',
    );
    room.start(doors);
    await room.run(MINUTE_MS);
    expect(receiver.subjects).toHaveLength(3);
  });

  it('keeps what a dead server does not take, and tells it once it is back, each thing once', async () => {
    const { room, receiver, first } = await roomOf(['Pepper']);
    receiver.answer = { status: 500 };
    first.bench.fault('probe-open', true);
    await room.run(20 * MINUTE_MS, 30 * SECOND_MS);
    const tries = receiver.posts.length;
    expect(tries).toBeGreaterThan(3);
    expect(tries).toBeLessThan(12);
    receiver.answer = { status: 204 };
    receiver.posts.splice(0);
    await room.run(12 * MINUTE_MS, 30 * SECOND_MS);
    expect(receiver.subjects.slice(0, 1)).toEqual(['Pepper: root-zone probe open']);
    expect(new Set(receiver.posts.map(({ headers }) => headers['webhook-id'])).size).toBe(
      receiver.posts.length,
    );
  });

  it('waits for a mail server that greylists, and then the mail is there once', async () => {
    const { room, first } = await roomOf(['Pepper']);
    const server = await MailServer.start({ greylist: 1 });
    const mail = createMailDoor({
      ...{ name: 'hook', kind: 'mail', host: 'localhost', port: server.port, security: 'tls' },
      login: { user: USER, password: new Secret(PASSWORD) },
      ...{ from: 'trays@example.org', ca: AUTHORITY },
    });
    ends.push(
      () => server.stop(),
      () => mail.close(),
    );
    room.start(new Map([['hook', mail]]));
    first.bench.fault('probe-open', true);
    await room.run(MINUTE_MS);
    expect([server.asked, server.mails.length]).toEqual([1, 0]);
    await room.run(4 * MINUTE_MS);
    expect(server.mails.map(({ subject }) => subject)).toEqual(['Pepper: root-zone probe open']);
  });

  it('tells by its other doors that one has failed for a while, and why', async () => {
    const { room, receiver, first, doors } = await roomOf(['Pepper']);
    const refuses: Door = {
      send: () => Promise.reject(new DoorError('door', 'Its certificate has expired.')),
      close: async () => {},
    };
    const tells = [tell('Ann', 'hook'), tell('Ben', 'mail')];
    room.start(new Map([...doors, ['mail', refuses]]), tells);
    first.bench.fault('probe-open', true);
    await room.run(18 * MINUTE_MS, 30 * SECOND_MS);
    expect(receiver.subjects).toEqual([
      'Pepper: root-zone probe open',
      'Keeper room: messages do not get out',
    ]);
    expect(textOf(receiver, 1)).toContain('mail: Its certificate has expired.');
  });
});
