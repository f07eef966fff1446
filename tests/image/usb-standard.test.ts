/** What a host may expect of any device: answers in time (USB 2.0 section 9.2.6), refusals, and a way back. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { Chip } from '../../firmware/bench/chip/chip';
import { SLOWEST_FLASH, STUBBORN_FLASH } from '../../firmware/bench/chip/rom';
import type { ControlReply, ControlTransfer } from '../../firmware/bench/chip/usb-control';
import { DOOR } from '../../shared/board/map';
import { BUILD_LIMIT_MS, cannotBuild, misbehaving, powered, trayward } from './images';
import { Talk } from './talk';

const GET_DEVICE: ControlTransfer = { type: 0x80, request: 6, value: 0x100, length: 18 };
const DEVICE_BYTES = 18;
/** Sooner than the runtime takes a host for one that has come to rest. */
const ASK_MS = 200;

/** No well-made host asks so; each must be refused, or a host waits until it gives the device up. */
const MALFORMED: readonly (readonly [string, ControlTransfer])[] = [
  [
    'a descriptor asked for by a host that sends',
    { ...GET_DEVICE, type: 0x00, data: new Uint8Array(18) },
  ],
  ['a descriptor that there is not', { ...GET_DEVICE, value: 0x700 }],
  ['a line coding without its bytes', { type: 0x21, request: 0x20, value: 0 }],
  [
    'a line coding of 20 bytes',
    { type: 0x21, request: 0x20, value: 0, length: 20, data: new Uint8Array(20) },
  ],
  [
    'a line coding for the device',
    { type: 0x20, request: 0x20, value: 0, length: 7, data: new Uint8Array(7) },
  ],
  [
    'a line state with bytes',
    { type: 0x21, request: 0x22, value: 1, length: 4, data: new Uint8Array(4) },
  ],
  [
    'an address with bytes',
    { type: 0x00, request: 5, value: 7, length: 2, data: new Uint8Array(2) },
  ],
  ['a configuration that there is not', { type: 0x00, request: 9, value: 2 }],
  ['a request of a vendor', { type: 0xc0, request: 1, value: 0, length: 8 }],
  ['a request that nobody has', { type: 0x80, request: 0x42, value: 0, length: 8 }],
];

const program = misbehaving('usb-standard');

const usbOf = (chip: Chip) => {
  if (chip.usb === null) throw new Error('The board is off.');
  return chip.usb;
};

const isReady = (chip: Chip, limitMs: number): boolean =>
  chip.runUntil(() => usbOf(chip).isReady, limitMs);

function ask(chip: Chip, transfer: ControlTransfer): ControlReply | 'silence' {
  let answer: ControlReply | 'silence' = 'silence';
  usbOf(chip).control(transfer, (reply) => {
    answer = reply;
  });
  chip.run(20);
  return answer;
}

describe.skipIf(cannotBuild)('a host', { timeout: BUILD_LIMIT_MS }, () => {
  let chip: Chip;
  beforeAll(async () => {
    chip = powered(await trayward());
    expect(isReady(chip, 2000)).toBe(true);
  }, BUILD_LIMIT_MS);

  it.each(MALFORMED)('is refused %s, and what it asks next is answered', (_what, transfer) => {
    expect(ask(chip, transfer)).toBe(null);
    expect(ask(chip, GET_DEVICE)).toHaveLength(DEVICE_BYTES);
    expect(chip.complaints).toEqual([]);
  });

  it('that breaks off what it asks is answered what it asks next', () => {
    const { controller } = usbOf(chip);
    for (const broken of [
      [0x80, 6, 0, 1, 0, 0, 18, 0],
      [0x21, 0x20, 0, 0, 0, 0, 7, 0],
      [0xc0, 1, 0, 0, 0, 0, 8, 0],
    ]) {
      controller.setup(Uint8Array.from(broken));
      chip.run(1);
      expect(ask(chip, GET_DEVICE)).toHaveLength(DEVICE_BYTES);
    }
  });

  it('whose board hangs in its USB controller has it back within seconds, outputs untouched', () => {
    usbOf(chip).hangController();
    chip.run(1500);
    expect(isReady(chip, 4000)).toBe(true);
    expect(new Talk(chip, DOOR.usb).call('controller.hello')).toBeDefined();
    expect(chip.starts).toHaveLength(1);
  });

  it('that sleeps, or is not there, is not taken for a controller that hangs', () => {
    const resets = usbOf(chip).transfers.length;
    usbOf(chip).sleep();
    chip.run(5000);
    usbOf(chip).wake();
    expect(usbOf(chip).transfers).toHaveLength(resets);
    chip.plugUsb(false);
    chip.run(5000);
    chip.plugUsb(true);
    expect(isReady(chip, 1000)).toBe(true);
    expect(chip.complaints).toEqual([]);
  });
});

/** USB 2.0, sections 9.2.6.3 and 9.2.6.4: an answer without data, and one with them. */
const SET_ADDRESS: ControlTransfer = { type: 0x00, request: 5, value: 7 };

describe.skipIf(cannotBuild)(
  'a flash that erases, slow as it may be,',
  { timeout: BUILD_LIMIT_MS },
  () => {
    let chip: Chip;
    beforeAll(async () => {
      chip = powered(await program('erases in each tick'), 1, SLOWEST_FLASH);
      expect(isReady(chip, 5000)).toBe(true);
    }, BUILD_LIMIT_MS);
    /** In the middle of the next erase. */
    const whileErasing = (): void => {
      const { operations } = chip.flash;
      expect(chip.runUntil(() => chip.flash.operations > operations, 2000)).toBe(true);
      chip.run(SLOWEST_FLASH.eraseSectorMs / 4);
    };

    it('keeps no request waiting', () => {
      for (const transfer of [SET_ADDRESS, GET_DEVICE]) {
        whileErasing();
        expect(ask(chip, transfer)).not.toBe('silence');
      }
      expect(chip.complaints).toEqual([]);
    });

    it('keeps no host waiting that resets the bus', () => {
      whileErasing();
      usbOf(chip).resetBus();
      chip.run(SLOWEST_FLASH.eraseSectorMs / 2);
      expect(isReady(chip, 1)).toBe(true);
      expect(chip.complaints).toEqual([]);
    });
  },
);

describe.skipIf(cannotBuild)(
  'a slow flash that cannot be interrupted',
  { timeout: BUILD_LIMIT_MS },
  () => {
    it('keeps no host waiting that finds a new board, which erases at its first start', async () => {
      const chip = powered(await trayward(), 1, STUBBORN_FLASH);
      expect(isReady(chip, 4000)).toBe(true);
      expect(chip.flash.operations).toBeGreaterThan(2);
      expect(chip.complaints).toEqual([]);
    });

    it('is erased ahead of need though a host asks all the time', async () => {
      const chip = powered(await program('erases in each rest'));
      expect(isReady(chip, 4000)).toBe(true);
      const { operations } = chip.flash;
      for (let asked = 0; asked < 24_000 / ASK_MS; asked++) {
        expect(ask(chip, GET_DEVICE)).toHaveLength(DEVICE_BYTES);
        chip.run(ASK_MS - 20);
      }
      // Two erases each, at every eleventh tick.
      expect(chip.flash.operations - operations).toBe(4);
      expect(chip.complaints).toEqual([]);
    });

    it('keeps none waiting that is plugged in between two erases', async () => {
      const chip = powered(await program('erases in each rest'), 1, STUBBORN_FLASH);
      for (const afterMs of [5, 50, 100]) {
        chip.run(3000);
        chip.plugUsb(false);
        chip.run(1010);
        const { operations } = chip.flash;
        expect(chip.runUntil(() => chip.flash.operations > operations, 2000)).toBe(true);
        // Two erases on end, and then a fifth of a second until the next two.
        expect(chip.runUntil(() => chip.isAsleep, 2000)).toBe(true);
        chip.run(afterMs);
        const before = chip.flash.operations;
        chip.plugUsb(true);
        expect(isReady(chip, 2000)).toBe(true);
        chip.run(2500);
        expect(chip.flash.operations).toBeGreaterThan(before);
      }
      expect(chip.complaints).toEqual([]);
    });
  },
);
