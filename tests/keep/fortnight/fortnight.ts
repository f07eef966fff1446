/**
 * Two weeks of a room of eight trays to which faults happen, with a real mail server and broker: no alarm untold, and no
 * message without a cause. Run by `npm run fortnight`; it takes ten minutes and more.
 */
import { expect, it } from 'vitest';
import { dateEntries } from '../../../cli/journal/dating';
import { Secret } from '../../../cli/keep/config/secret';
import type { Door } from '../../../cli/keep/doors/door';
import { createMailDoor } from '../../../cli/keep/doors/mail';
import { createMqttDoor } from '../../../cli/keep/doors/mqtt';
import { MESSAGE_KINDS, type Message } from '../../../cli/keep/outbox/state';
import { titleOf } from '../../../cli/keep/words/trouble';
import type { FaultName } from '../../../firmware/bench/faults';
import { CALM_TICK_MS } from '../../../firmware/bench/pace';
import { Random } from '../../../firmware/bench/random';
import { ADVICE } from '../../../shared/alarms/advice';
import { ALARMS, type AlarmName } from '../../../shared/alarms/catalogue';
import { ALARM_PRIORITY } from '../../../shared/alarms/priority';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import { FRESH_SEED } from '../../properties';
import { Grower, TEST_PROFILE } from '../../simulation/grower';
import { Room, tell } from '../room';
import { AUTHORITY, Broker, MailServer, PASSWORD, USER } from '../servers';

const TRAYS = 8;
const DAYS = 14;
const LOOK_MS = 5 * MINUTE_MS;
/** A tray has a fault every third day. */
const FAULTS_A_DAY = 1 / 3;
const FAULTS: readonly FaultName[] = [
  ...(['mat-dead', 'probe-open', 'tube-off', 'mains-cut', 'scale-unplugged'] as const),
  ...(['leak', 'reservoir-empty', 'lid-open', 'tray-lifted'] as const),
];

function trayInUse(seed: number): Grower {
  const grower = new Grower({ seed, calmTickMs: CALM_TICK_MS });
  grower.commission(TEST_PROFILE);
  grower.call('mark.set', { mark: 'refilled', volumeMl: 2500, feedEc: 0.8 });
  grower.bench.run(HOUR_MS);
  grower.call('mark.set', { mark: 'emerged' });
  return grower;
}

/** Somebody comes by: sees what stands, says what is mended, fills the reservoir. */
function visit(grower: Grower): void {
  try {
    for (const { alarm } of grower.status().alarms) {
      const { state } = grower.call('alarm.accept', { alarm });
      if (ALARMS[alarm].latched && state !== 'accepted' && state !== 'normal') {
        grower.call('alarm.clear', { alarm });
      }
    }
    grower.bench.hand.refill(2500);
    grower.call('mark.set', { mark: 'refilled', volumeMl: 2500, feedEc: 0.8 });
  } catch {
    // The power is out: nothing can be said at the board.
  }
}

interface Raise {
  readonly alarm: AlarmName;
  readonly atMs: number;
}

const raisesOf = (grower: Grower): readonly Raise[] =>
  dateEntries(grower.journal()).flatMap(({ entry, unixMs }): Raise[] =>
    entry.kind === 'alarm' && entry.change === 'raised'
      ? [{ alarm: entry.alarm, atMs: unixMs ?? Number.NaN }]
      : [],
  );

it('tells of all that went wrong in a room of eight trays in two weeks, and of nothing else', async () => {
  console.log(`faults: seed ${FRESH_SEED}`);
  const random = new Random(FRESH_SEED);
  const names = Array.from({ length: TRAYS }, (_, i) => `Tray ${i + 1}`);
  const trays = Object.fromEntries(names.map((name, i) => [name, trayInUse(i + 1)]));
  const [server, broker] = [await MailServer.start({ greylist: 1 }), await Broker.start()];
  const told: Message[] = [];
  const login = { user: USER, password: new Secret(PASSWORD) };
  const mail = createMailDoor({
    ...{ name: 'mail', kind: 'mail', host: 'localhost', port: server.port, security: 'tls' },
    ...{ login, from: 'trays@example.org', ca: AUTHORITY },
  });
  const house = createMqttDoor(
    {
      ...{ name: 'house', kind: 'mqtt', url: `mqtts://localhost:${broker.port}`, topic: 'room' },
      ...{ login, journal: null, ca: AUTHORITY },
    },
    'room',
  );
  const noted: Door = {
    tend: async () => house.tend?.(),
    send: async (letter) => {
      await house.send(letter);
      told.push(letter.message);
    },
    close: () => house.close(),
  };
  const tells = [tell('Ann', 'mail', { to: 'ann@example.org' }), tell('House', 'house')];
  const room = new Room({ trays, tells });
  room.start(
    new Map([
      ['mail', mail],
      ['house', noted],
    ]),
  );
  await room.run(LOOK_MS, LOOK_MS);
  const startMs = room.nowMs;
  for (let hour = 0; hour < DAYS * 24; hour++) {
    for (const grower of Object.values(trays)) {
      if (random.share() < FAULTS_A_DAY / 24) {
        const fault = FAULTS[Math.floor(random.share() * FAULTS.length)] ?? 'mat-dead';
        grower.bench.fault(fault, true, (1 + 9 * random.share()) * HOUR_MS);
      }
      if (hour % 12 === 8) visit(grower);
    }
    await room.run(HOUR_MS, LOOK_MS);
  }
  const untold: string[] = [];
  let raised = 0;
  const raises = new Map(Object.entries(trays).map(([name, one]) => [name, raisesOf(one)]));
  for (const [name, all] of raises) {
    for (const { alarm, atMs } of all.filter((one) => one.atMs > startMs)) {
      raised += 1;
      const title = ADVICE[alarm].title.toLowerCase();
      const untilMs = atMs + DAY_MS + HOUR_MS;
      const isTold = told.some(
        ({ tray, kind, text, madeMs }) =>
          (tray === name || kind === 'morning') &&
          text.toLowerCase().includes(title) &&
          madeMs >= atMs - HOUR_MS &&
          madeMs <= untilMs,
      );
      if (!isTold && atMs < room.nowMs - DAY_MS) {
        untold.push(`${name}: ${alarm} (${ALARM_PRIORITY[alarm]}) ${new Date(atMs).toISOString()}`);
      }
    }
  }
  const causeless = told.filter(({ kind, tray, text, madeMs }) => {
    if (!['new', 'again', 'happened', 'worse'].includes(kind) || tray === null) return false;
    if (text.includes(titleOf('unheard').toLowerCase())) return false;
    const told = text.toLowerCase();
    return !raises
      .get(tray)
      ?.some(
        ({ alarm, atMs }) => told.includes(ADVICE[alarm].title.toLowerCase()) && atMs <= madeMs,
      );
  });
  const weeks = (TRAYS * DAYS) / 7;
  const own = told.filter(({ kind }) => kind !== 'morning').length;
  const kinds = MESSAGE_KINDS.map(
    (kind) => `${kind} ${told.filter((one) => one.kind === kind).length}`,
  );
  console.log(
    `${raised} alarms; ${own} messages, ${(own / weeks).toFixed(1)} a tray and week; ${kinds.join(', ')}; ${server.mails.length} mails`,
  );
  expect(untold).toEqual([]);
  expect(causeless.map(({ subject }) => subject)).toEqual([]);
  expect(new Set(server.mails.map(({ id }) => id)).size).toBe(server.mails.length);
  await Promise.all([mail.close(), house.close()]);
  await server.stop();
  await broker.stop();
  room.end();
}, 3_600_000);
