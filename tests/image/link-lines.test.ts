/** Whatever comes in at either door costs an error reply at most: the tray goes on, and so does the link. */
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { Random } from '../../firmware/bench/random';
import { DOOR } from '../../shared/board/map';
import { encodeUtf8 } from '../../shared/bytes';
import { LINE_OVERHEAD_BYTES } from '../../shared/link/framing';
import { LINK_LIMITS, RPC_ERROR } from '../../shared/link/methods';
import { FRESH_SEED, SEEDS } from '../properties';
import { BUILD_LIMIT_MS, cannotBuild } from './images';
import { inService, type TrayInHeat } from './link-scene';
import type { Talk } from './talk';

const FLOOD_BYTES = 64 * 1024;
const SILENCE_MS = 60_000;
const PAGE = { from: 1000, count: LINK_LIMITS.pageEntries };
const DOORS = [
  { name: 'USB', door: DOOR.usb },
  { name: 'UART0', door: DOOR.uart },
] as const;

const codes = (talk: Talk) => talk.replies.map(({ error }) => error?.code);

/** A request's line with one bit of it turned over, the newline excepted. */
function spoiled(line: Uint8Array, random: Random): Uint8Array {
  const bytes = line.slice();
  const at = random.bits() % (bytes.length - LINE_OVERHEAD_BYTES);
  bytes[at] = (bytes[at] ?? 0) ^ 1;
  return bytes;
}

describe.skipIf(cannotBuild).each(DOORS)(
  'a tray at work is not disturbed, on $name,',
  { timeout: BUILD_LIMIT_MS },
  ({ door }) => {
    let tray: TrayInHeat;
    beforeAll(async () => {
      tray = await inService(door);
    }, BUILD_LIMIT_MS);
    afterEach(() => tray.expectUnharmed());
    afterAll(() => {
      tray.expectNothingKept();
      tray.expectSwitchesOff();
    }, BUILD_LIMIT_MS);

    it('by arbitrary bytes', () => {
      const talk = tray.talk();
      for (const seed of SEEDS) {
        const random = new Random(seed);
        for (let i = 0; i < 20; i++) {
          talk.say(Uint8Array.from({ length: 1 + (random.bits() % 400) }, () => random.bits()));
          tray.chip.run(random.bits() % 50);
        }
      }
      talk.say('\n');
      tray.digest();
      expect(talk.damaged).toEqual([]);
      expect(codes(talk)).not.toContain(undefined);
    });

    it('by 64 KB without a newline: that is one line too long, and one complaint', () => {
      const talk = tray.talk();
      talk.say(new Uint8Array(FLOOD_BYTES).fill(0x78));
      tray.digest();
      expect(talk.replies).toEqual([]);
      talk.say('\n');
      tray.digest();
      expect(codes(talk)).toEqual([RPC_ERROR.damagedLine]);
    });

    it('by lines that are a byte too long: each is one complaint', () => {
      const talk = tray.talk();
      for (const bytes of [LINK_LIMITS.lineToBoardBytes + 1, 5000, LINK_LIMITS.lineToBoardBytes]) {
        talk.say(`${'x'.repeat(bytes - 1)}\n`);
        tray.digest();
      }
      const { damagedLine, parse } = RPC_ERROR;
      expect(codes(talk)).toEqual([damagedLine, damagedLine, parse]);
    });

    it('by half a line and a minute of silence: that costs the line it runs into, and no other', () => {
      const talk = tray.talk();
      const { line } = talk.request('status.read');
      talk.say(line.subarray(0, 40));
      tray.chip.run(SILENCE_MS);
      expect(talk.replies).toEqual([]);
      const [lost, good] = [talk.ask('status.read'), talk.ask('status.read')];
      expect(talk.await(good).result).toBeDefined();
      expect(talk.replyTo(lost)).toBeUndefined();
      expect(codes(talk)).toEqual([RPC_ERROR.damagedLine, undefined]);
    });

    it('by half a line, when the next one is begun with a newline: that costs nothing', () => {
      const talk = tray.talk();
      talk.say(encodeUtf8('{"jsonrpc":"2.0","id":'));
      tray.chip.run(1000);
      talk.say('\n');
      expect(talk.call('status.read')).toBeDefined();
    });

    it('by lines whose CRC is wrong: none is carried out, each may be sent again', () => {
      const talk = tray.talk();
      const random = new Random(FRESH_SEED);
      const marks = Array.from({ length: 20 }, (_, token) =>
        talk.request('mark.set', { token, mark: 'emerged' }),
      );
      for (const { line } of marks) {
        talk.say(spoiled(line, random));
        tray.digest();
      }
      expect(codes(talk)).toEqual(marks.map(() => RPC_ERROR.damagedLine));
    });

    it('by hundreds of requests at once: the first are answered, and USB holds back the rest', () => {
      const talk = tray.talk();
      const ids = Array.from({ length: 150 }, () => talk.ask('status.read'));
      tray.digest();
      tray.chip.run(5000);
      expect(talk.damaged).toEqual([]);
      const answered = talk.replies.map(({ id }) => id);
      expect(answered.slice(0, 20)).toEqual(ids.slice(0, 20));
      if (door === DOOR.usb) expect(answered).toEqual(ids);
    });

    it('by four pages asked for at once, of which each must wait for the one before', () => {
      const talk = tray.talk();
      const ids = [0, 1, 2, 3].map((page) =>
        talk.ask('journal.page', { ...PAGE, from: PAGE.from + page }),
      );
      const pages = ids.map((id) => talk.await(id).result);
      expect(pages).toMatchObject(
        ids.map((_, page) => ({ from: PAGE.from + page, count: PAGE.count })),
      );
      expect(talk.replies.map(({ id }) => id)).toEqual(ids);
    });

    it('by thousands of blank lines', () => {
      const talk = tray.talk();
      talk.say('\n'.repeat(2000));
      tray.digest();
      expect(talk.replies).toEqual([]);
    });
  },
);
