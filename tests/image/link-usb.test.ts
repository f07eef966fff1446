/** Cables pulled, computers asleep, programs that close too early: the USB door gets over all of it. */
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { DOOR } from '../../shared/board/map';
import { crc32, toBase64 } from '../../shared/bytes';
import { LINK_LIMITS } from '../../shared/link/methods';
import { encodeProfile } from '../../shared/profile/image';
import { TEST_PROFILE } from '../simulation/grower';
import { BUILD_LIMIT_MS, cannotBuild } from './images';
import { inService, type TrayInHeat } from './link-scene';
import type { Talk } from './talk';

const PACKET_BYTES = 64;
/** Letters of an id; the reply has them again. */
const LONGEST_ID = 32;
const PAGE = { from: 1000, count: LINK_LIMITS.pageEntries };

describe.skipIf(cannotBuild)('the USB door', { timeout: BUILD_LIMIT_MS }, () => {
  let tray: TrayInHeat;
  beforeAll(async () => {
    tray = await inService(DOOR.usb);
  }, BUILD_LIMIT_MS);
  afterEach(() => tray.expectUnharmed());
  afterAll(() => {
    tray.expectNothingKept();
    tray.expectSwitchesOff();
  }, BUILD_LIMIT_MS);

  const usb = () => {
    const { usb: host } = tray.chip;
    if (host === null) throw new Error('The board is off.');
    return host;
  };

  /** Asks for a journal page and stops as soon as some of it is here. */
  const pageUnderWay = (talk: Talk): number => {
    const heard = talk.heard;
    const id = talk.ask('journal.page', PAGE);
    const cameIn = tray.chip.runUntil(() => talk.heard > heard + 5 * PACKET_BYTES, 1000, 0.05);
    expect(cameIn).toBe(true);
    expect(talk.replyTo(id)).toBeUndefined();
    return id;
  };

  const plugAgain = (): void => {
    tray.chip.plugUsb(true);
    expect(tray.chip.runUntil(() => usb().isReady, 1000)).toBe(true);
  };

  it('gives a page anew when the cable was pulled in the middle of it', () => {
    const { data } = tray.talk().call('journal.page', PAGE);
    pageUnderWay(tray.talk());
    tray.chip.plugUsb(false);
    tray.chip.run(20_000);
    plugAgain();
    expect(tray.talk().call('journal.page', PAGE)).toMatchObject({ data });
  });

  it('goes on with a profile when the cable was pulled in the middle of a chunk', () => {
    const image = encodeProfile(TEST_PROFILE);
    const chunk = (offset: number) => ({ offset, data: toBase64(image, offset, offset + 100) });
    const first = tray.talk();
    const slots = first.call('profile.slots');
    first.call('profile.begin', { token: 1, bytes: image.length, crc: crc32(image) });
    first.call('profile.chunk', chunk(0));
    first.say(first.request('profile.chunk', chunk(100)).line.subarray(0, 120));
    tray.chip.run(1);
    tray.chip.plugUsb(false);
    tray.chip.run(20_000);
    plugAgain();
    const second = tray.talk();
    expect(second.call('profile.slots')).toEqual(slots);
    let next = 100;
    while (next < image.length) next = Number(second.call('profile.chunk', chunk(next)).next);
    expect(next).toBe(image.length);
  });

  it('finishes a page when the computer wakes from a sleep in the middle of it', () => {
    const talk = tray.talk();
    const { data } = talk.call('journal.page', PAGE);
    const id = pageUnderWay(talk);
    usb().sleep();
    tray.chip.run(20_000);
    expect(talk.replyTo(id)).toBeUndefined();
    usb().wake();
    expect(talk.await(id).result).toMatchObject({ data });
    expect(talk.damaged).toEqual([]);
  });

  it('starts afresh at a bus reset in the middle of a page', () => {
    const { data } = tray.talk().call('journal.page', PAGE);
    pageUnderWay(tray.talk());
    usb().resetBus();
    tray.chip.run(11);
    expect(tray.chip.runUntil(() => usb().isReady, 1000)).toBe(true);
    const talk = tray.talk();
    expect(talk.call('journal.page', PAGE)).toMatchObject({ data });
    expect(talk.damaged).toEqual([]);
  });

  it('ends a reply that fills its last packet with an empty one, and no other reply', () => {
    const talk = tray.talk();
    const ways = { full: 0, other: 0 };
    for (const method of ['no.such', 'profile.slots', 'pump.state']) {
      for (let letters = 1; letters <= LONGEST_ID; letters++) {
        const [heard, empty] = [talk.heard, usb().zeroLengthPackets];
        talk.say(`{"jsonrpc":"2.0","id":"${'x'.repeat(letters)}","method":"${method}"}\n`);
        tray.chip.run(100);
        const fills = (talk.heard - heard) % PACKET_BYTES === 0;
        expect(usb().zeroLengthPackets - empty).toBe(fills ? 1 : 0);
        ways[fills ? 'full' : 'other'] += 1;
      }
    }
    expect(talk.damaged).toEqual([]);
    expect(ways.full).toBeGreaterThan(0);
    expect(ways.other).toBeGreaterThan(0);
  });

  it('holds back a program that asks and asks and reads nothing, and serves the next one', () => {
    const first = tray.talk();
    usb().setReading(false);
    for (let i = 0; i < 2000; i++) first.ask('status.read');
    tray.chip.run(20_000);
    expect(usb().onTheWay).toBeGreaterThan(100_000);
    tray.chip.openUsb(false);
    tray.chip.run(10);
    usb().setReading(true);
    const second = tray.talk();
    expect(second.call('controller.hello')).toBeDefined();
    tray.chip.run(1000);
    expect(second.replies).toHaveLength(1);
  });

  it('gives the next program none of what the last one left unread', () => {
    const first = tray.talk();
    pageUnderWay(first);
    for (let i = 0; i < 5; i++) first.ask('status.read');
    tray.chip.run(0.5);
    tray.chip.openUsb(false);
    tray.chip.run(2);
    const second = tray.talk();
    tray.chip.run(500);
    // A packet that was in the controller already cannot be called back: it comes as a line of its own.
    expect(second.heard).toBeLessThanOrEqual(PACKET_BYTES + 1);
    expect(second.damaged).toHaveLength(1);
    expect(second.call('controller.hello')).toBeDefined();
    expect(second.replies).toHaveLength(1);
  });

  it('and the other door serve two programs at once, one of them a nuisance', () => {
    const [good, nuisance] = [tray.talk(), tray.talk(DOOR.uart)];
    const { data } = good.call('journal.page', PAGE);
    const other = nuisance.ask('journal.page', { ...PAGE, from: 2000 });
    for (let i = 0; i < 20; i++) {
      nuisance.say(`${'x'.repeat(300)}\n`);
      expect(good.call('journal.page', PAGE)).toMatchObject({ data });
    }
    expect(nuisance.await(other).result).toMatchObject({ from: 2000, count: PAGE.count });
    tray.digest();
    expect(nuisance.call('controller.hello')).toBeDefined();
    expect(nuisance.damaged).toEqual([]);
  });
});
