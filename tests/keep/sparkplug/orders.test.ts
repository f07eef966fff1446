/** Orders of a host at Debian's mosquitto, carried to a tray of the bench by a keeper. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { OpenDoors } from '../../../cli/keep/open/open-doors';
import { MINUTE_MS } from '../../../shared/units/time';
import { Grower, TEST_PROFILE } from '../../simulation/grower';
import { Room } from '../room';
import { field, type Message, metric, written } from './decoder';
import { PLAN, toldIn, until } from './life';
import { type Heard, Mosquitto, noBroker } from './mosquitto';

const DCMD = 'spBv1.0/Nursery/DCMD/north-room/Pepper';

let broker: Mosquitto;
let room: Room;
let doors: OpenDoors;
let tray: Grower;
let heard: readonly Heard[];

describe.skipIf(noBroker)('orders', () => {
  beforeAll(async () => {
    broker = await Mosquitto.start();
    heard = await broker.listen();
    tray = new Grower({ seed: 8 });
    tray.commission(TEST_PROFILE);
    room = new Room({ trays: { Pepper: tray }, tells: [] });
    room.start(new Map());
    const sparkplug = { ...PLAN, url: `mqtts://localhost:${broker.tlsPort}` };
    doors = await OpenDoors.open({
      plan: { ...room.keeper.parts.plan, sparkplug },
      ...{ watches: room.watches, outbox: room.keeper.parts.outbox, doors: () => [] },
      ...{ folder: room.store, now: () => room.nowMs, steadyMs: () => room.steadyMs },
      ...{ say: (text) => room.said.push(text), startedMs: () => room.keeper.times.startedMs },
    });
    room.afterRound = () => doors.round();
    await room.run(10_000);
    await until(() => doors.state.sparkplug?.state === 'up', 'a broker');
    tray.bench.fault('probe-open', true);
    await room.run(2 * MINUTE_MS);
  });
  afterAll(async () => {
    await doors?.close();
    room?.end();
    await broker?.stop();
  });

  /** Gives an order as a host does, and waits for the answer that a host reads. */
  async function answerTo(metrics: string): Promise<string> {
    const answers = (): readonly string[] =>
      toldIn(heard)
        .filter(({ verb }) => verb === 'DDATA')
        .flatMap(({ payload }) => field(metric(payload, 'Order/Answer'), 'string_value') ?? []);
    const before = answers().length;
    broker.publish(DCMD, written(`timestamp: 1 ${metrics}`));
    await until(() => answers().length > before, 'an answer');
    return answers().at(-1) ?? '';
  }

  /** What was told after the tray's death, in the order in which a host heard it. */
  function sinceDeath(): readonly string[] {
    const verbs = toldIn(heard).map(({ verb }) => verb);
    const death = verbs.lastIndexOf('DDEATH');
    return death < 0 ? [] : verbs.slice(death + 1);
  }

  const lastBirth = (): Message | undefined =>
    toldIn(heard)
      .filter(({ verb }) => verb === 'DBIRTH')
      .at(-1)?.payload;

  describe('a host', () => {
    it('reads in the birth of a tray what it may order', async () => {
      await until(() => lastBirth() !== undefined, 'a birth');
      for (const name of ['Alarm/Seen', 'Alarm/Mended', 'Mark/Emerged', 'Mark/Refilled']) {
        expect(metric(lastBirth(), name)).toBeDefined();
      }
    });

    it('says that an alarm is seen, and the tray knows it', async () => {
      const answer = await answerTo('metrics { name: "Alarm/Seen" string_value: "probe-open" }');
      expect(answer).toMatch(/^Seen: /);
      const { alarms } = tray.status();
      expect(alarms.find(({ alarm }) => alarm === 'probe-open')?.state).toBe('accepted');
    });

    it('is told that an alarm whose cause is there is not mended', async () => {
      const answer = await answerTo('metrics { name: "Alarm/Mended" string_value: "probe-open" }');
      expect(answer).toMatch(/^Not mended: the cause of ".*" is still there/);
    });

    it('takes back an alarm whose cause is gone', async () => {
      tray.bench.fault('probe-open', false);
      await room.run(3 * MINUTE_MS);
      expect(await answerTo('metrics { name: "Alarm/Mended" string_value: "probe-open" }')).toMatch(
        /^Mended: /,
      );
      expect(tray.alarms()).not.toContain('probe-open');
    });

    it('sets a mark, which is in the journal', async () => {
      expect(await answerTo('metrics { name: "Mark/Emerged" boolean_value: true }')).toBe(
        'Marked emerged.',
      );
      const marks = tray.journal().flatMap((one) => (one.kind === 'mark' ? [one.mark] : []));
      expect(marks.at(-1)).toBe('emerged');
    });

    it('is told in the controller’s words why it does not do something', async () => {
      const answer = await answerTo('metrics { name: "Alarm/Seen" string_value: "mat-hot" }');
      expect(answer).toMatch(/^Not done: seen mat-hot\. .+\.$/);
    });

    it('switches neither mat nor pump: that is refused, and said', async () => {
      const before = tray.status().outputs;
      broker.publish(DCMD, written('timestamp: 1 metrics { name: "Mat/On" boolean_value: true }'));
      broker.publish(
        DCMD,
        written('timestamp: 1 metrics { name: "Water/Pump On" boolean_value: true }'),
      );
      const refusals = (): readonly string[] => room.said.filter((one) => one.includes('refused'));
      for (let i = 0; refusals().length === 0; i++) {
        await new Promise((resolve) => setTimeout(resolve, 20));
        doors.round();
        expect(i).toBeLessThan(500);
      }
      expect(refusals().join()).toMatch(/DCMD\/north-room\/Pepper: Only alarms are seen or mended/);
      expect(tray.status().outputs).toBe(before);
    });

    it('is told that a silent tray hears nothing', async () => {
      room.pulled.add('Pepper');
      await room.run(10_000);
      broker.publish(
        DCMD,
        written('timestamp: 1 metrics { name: "Mark/Vented" boolean_value: true }'),
      );
      await until(
        () => room.said.some((one) => /Pepper: Not done: mark vented\./.test(one)),
        'a word',
      );
      await until(() => sinceDeath().length > 0, 'a death');
      expect(sinceDeath()).not.toContain('DDATA');
    });
  });
});
