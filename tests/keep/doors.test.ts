/** What arrives at real servers on loopback, and what is said where it does not. */
import { createHmac } from 'node:crypto';
import { afterEach, describe, expect, it } from 'vitest';
import type { MailDoor, MqttDoor, WebhookDoor } from '../../cli/keep/config/plan';
import { Secret } from '../../cli/keep/config/secret';
import { DoorError, type Letter } from '../../cli/keep/doors/door';
import { createMailDoor } from '../../cli/keep/doors/mail';
import { createMqttDoor } from '../../cli/keep/doors/mqtt';
import { createWebhookDoor } from '../../cli/keep/doors/webhook';
import { MINUTE_MS } from '../../shared/units/time';
import { AUTHORITY, Broker, MailServer, PASSWORD, Receiver, USER } from './servers';

const MADE_MS = Date.UTC(2026, 2, 1, 5, 59);

const letter = (changes: Partial<Letter> = {}): Letter => ({
  ...{ id: 'abc123', thread: 'keeper-7', to: 'ann@example.org', from: 'north-room' },
  nowMs: MADE_MS,
  message: {
    ...{ id: 'k-1', kind: 'new', priority: 'high', tray: 'Pepper', topic: 7, madeMs: MADE_MS },
    ...{ subject: 'Pepper: root zone too cold, 19.2 °C', text: 'Pepper: root zone too cold.' },
  },
  ...changes,
});

const ends: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});

/** What a door says when it does not take a letter; never a secret. */
async function refusal(send: Promise<void>): Promise<DoorError> {
  try {
    await send;
  } catch (error) {
    if (!(error instanceof DoorError)) throw error;
    expect(error.message).not.toContain(PASSWORD);
    expect(error.message).not.toContain(Buffer.from(PASSWORD).toString('base64').slice(0, 12));
    return error;
  }
  throw new Error('it was taken');
}

describe('mail', () => {
  async function mailDoor(
    options: Parameters<typeof MailServer.start>[0] = {},
    changes: Partial<MailDoor> = {},
  ) {
    const server = await MailServer.start(options);
    const door = createMailDoor({
      ...{ name: 'mail', kind: 'mail', host: 'localhost', port: server.port, security: 'tls' },
      login: { user: USER, password: new Secret(PASSWORD) },
      ...{ from: 'trays@example.org', ca: AUTHORITY },
      ...changes,
    });
    ends.push(
      () => server.stop(),
      () => door.close(),
    );
    return { server, door };
  }

  it('arrives as it was written, under the same Message-ID each time', async () => {
    const { server, door } = await mailDoor();
    await door.send(letter());
    await door.send(letter());
    const [first, second] = server.mails;
    expect(first).toMatchObject({ to: 'ann@example.org', id: '<abc123@example.org>' });
    expect(first?.subject).toBe('Pepper: root zone too cold, 19.2 °C');
    expect(first?.text).toContain('Pepper: root zone too cold.');
    expect(first?.raw).toMatch(/^Auto-Submitted: auto-generated/m);
    expect(first?.raw).toMatch(/^Date: Sun, 01 Mar 2026 05:59:00/m);
    expect(second?.id).toBe(first?.id);
  });

  it('that leaves late says when it was written', async () => {
    const { server, door } = await mailDoor();
    await door.send(letter({ nowMs: MADE_MS + 30 * MINUTE_MS }));
    expect(server.mails[0]?.text).toMatch(/comes late: it was written at 2026-03-01 \d\d:59/);
  });

  it('that is greylisted is wanted again in a minute or more, and that is no fault of the door', async () => {
    const { server, door } = await mailDoor({ greylist: 1 });
    const { scope, waitMs, message } = await refusal(door.send(letter()));
    expect(scope).toBe('message');
    expect(waitMs).toBeGreaterThanOrEqual(MINUTE_MS);
    expect(message).toContain('wants it again later');
    await door.send(letter());
    expect(server.mails).toHaveLength(1);
  });

  it.each([
    ['expired.pem', AUTHORITY, 'certificate has expired'],
    ['server.pem', null, 'Nobody that this computer trusts has signed'],
  ] as const)(
    'is not handed to a server with %s and authority %#',
    async (certificate, ca, words) => {
      const { server, door } = await mailDoor({ certificate }, { ca });
      const { scope, message } = await refusal(door.send(letter()));
      expect(scope).toBe('door');
      expect(message).toContain(words);
      expect(server.mails).toEqual([]);
    },
  );

  it('hides the password where the server quotes it, as it is and as it was sent', async () => {
    const { door } = await mailDoor({ quotesSecrets: true });
    const { scope, message } = await refusal(door.send(letter()));
    expect(scope).toBe('door');
    expect(message).toMatch(/does not take user and password.*no entry for \*\*\* \(\*\*\*\)/);
  });

  it('says in plain words that nothing listens, or that the name is not known', async () => {
    const { door } = await mailDoor({}, { port: 1 });
    expect((await refusal(door.send(letter()))).message).toContain('Nothing listens there.');
    const { door: lost } = await mailDoor({}, { host: 'no-such-host.invalid' });
    expect((await refusal(lost.send(letter()))).message).toContain(
      'No server of that name is known',
    );
  });
});

describe('a webhook', () => {
  async function hook(changes: Partial<WebhookDoor> = {}) {
    const server = await Receiver.start();
    const url = new Secret(`${server.url}?token=${PASSWORD}`);
    const secret = new Secret('hook-secret');
    const door = createWebhookDoor({ name: 'phone', kind: 'webhook', url, secret, ...changes });
    ends.push(() => server.stop());
    return { server, door };
  }

  it('gets JSON that is signed, with an id that is the same each time', async () => {
    const { server, door } = await hook();
    await door.send(letter());
    const [post] = server.posts;
    const { body = '', headers = {} } = post ?? {};
    const signed = `${headers['webhook-id']}.${headers['webhook-timestamp']}.${body}`;
    const hmac = createHmac('sha256', 'hook-secret').update(signed).digest('base64');
    expect(headers['webhook-signature']).toBe(`v1,${hmac}`);
    expect(headers['webhook-id']).toBe('abc123');
    expect(JSON.parse(body)).toMatchObject({
      type: 'trayward.new',
      timestamp: '2026-03-01T05:59:00.000Z',
      data: { id: 'abc123', keeper: 'north-room', tray: 'Pepper', priority: 'high' },
    });
  });

  it('that is busy is tried again when it says', async () => {
    const { server, door } = await hook();
    server.answer = { status: 503, text: `busy with ${PASSWORD}`, retryAfter: '120' };
    const { waitMs, message } = await refusal(door.send(letter()));
    expect(waitMs).toBe(120_000);
    expect(message).toContain('answers 503. It says: busy with');
  });

  it('that is gone is told without its address, which may have a token in it', async () => {
    const { server, door } = await hook();
    await server.stop();
    const { message } = await refusal(door.send(letter()));
    expect(message).toBe('The webhook "phone" cannot be reached. Nothing listens there.');
  });
});

describe('a broker', () => {
  async function brokerDoor(changes: Partial<MqttDoor> = {}) {
    const broker = await Broker.start();
    const door = createMqttDoor(
      {
        ...{ name: 'house', kind: 'mqtt', url: `mqtts://localhost:${broker.port}` },
        login: { user: USER, password: new Secret(PASSWORD) },
        ...{ topic: 'trayward/north', journal: null, ca: AUTHORITY },
        ...changes,
      },
      'north-room',
    );
    ends.push(
      () => broker.stop(),
      () => door.close(),
    );
    return { broker, door };
  }
  const states = ({ heard }: Broker): unknown[] =>
    heard
      .filter(({ topic }) => topic === 'trayward/north/keeper')
      .map(({ text }) => JSON.parse(text).state);

  it('gets each message, and is told that the keeper is there and when it stops', async () => {
    const { broker, door } = await brokerDoor();
    await door.send(letter());
    await door.close();
    expect(states(broker)).toEqual(['here', 'stopped']);
    const [message] = broker.heard.filter(({ topic }) => topic === 'trayward/north/messages');
    expect(JSON.parse(message?.text ?? '{}').data.subject).toContain('root zone too cold');
  });

  it('tells by itself that a keeper is lost, and hears of it again', async () => {
    const { broker, door } = await brokerDoor();
    await door.tend?.();
    broker.cut();
    await expect.poll(() => states(broker)).toEqual(['here', 'lost']);
    await door.tend?.();
    expect(states(broker)).toEqual(['here', 'lost', 'here']);
  });

  it('that lets nobody in is told as such', async () => {
    const { broker, door } = await brokerDoor();
    broker.letsIn = false;
    const { message } = await refusal(door.send(letter()));
    expect(message).toContain('does not let the keeper in');
    broker.letsIn = true;
    await door.send(letter());
  });

  it('that nobody trusts gets nothing, not even the password', async () => {
    const { broker, door } = await brokerDoor({ ca: null });
    const { message } = await refusal(door.send(letter()));
    expect(message).toContain('Nobody that this computer trusts has signed');
    expect(broker.heard).toEqual([]);
  });
});
