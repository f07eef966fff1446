/**
 * Images as one mistake would make them, each of which runs well enough on an emulator that forgives, and not on
 * silicon: what they leave out, or store instead, is taken from the sound image on its way.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import type { Breakage } from '../../firmware/bench/chip/bus';
import { Chip, flashWithImage } from '../../firmware/bench/chip/chip';
import type { BuiltImage } from '../../firmware/image/build';
import { addressOf } from '../../firmware/image/symbols';
import { PINS } from '../../shared/board/map';
import { BUILD_LIMIT_MS, cannotBuild, trayward } from './images';

/** Registers (RP2040 data sheet), as the image stores to them. */
const CLK_USB_CTRL = 0x40008054;
const CLK_ADC_CTRL = 0x40008060;
const PADS_BANK0_GPIO0 = 0x4001c004;
const XOSC_STATUS = 0x40024004;
const PLL_SYS_CS = 0x40028000;
const PLL_USB_CS = 0x4002c000;
const PLL_USB_FBDIV_INT = 0x4002c008;
const WATCHDOG_TICK = 0x4005802c;
const USB_MUXING = 0x50110074;
const USB_PWR = 0x50110078;
const SSI_BAUDR = 0x18000014;
const SSI_DR0 = 0x18000060;
const SSI_SPI_CTRLR0 = 0x180000f4;
const DONE = 0x80000000;
const PAD_INPUT = 1 << 6;
const PAD_OUTPUT_OFF = 1 << 7;
const WAIT_CYCLES = 0xf << 11;

const pad = (gpio: number): number => PADS_BANK0_GPIO0 + 4 * gpio;

const leavesOut = (register: number): Breakage => ({
  store: (address, value) => (address === register ? null : value),
});
const stores = (register: number, change: (value: number) => number): Breakage => ({
  store: (address, value) => (address === register ? change(value) >>> 0 : value),
});
const waitsNotFor = (...registers: readonly number[]): Breakage => ({
  load: (address) => (registers.includes(address) ? DONE : null),
});

const REGISTERS: readonly (readonly [string, Breakage, RegExp])[] = [
  ['gives the ADC no clock', leavesOut(CLK_ADC_CTRL), /ADC used with a clock of 0 MHz/],
  ['gives USB no clock', leavesOut(CLK_USB_CTRL), /USB used with a clock of 0 MHz/],
  ['makes no tick', leavesOut(WATCHDOG_TICK), /whose tick is 0.00 MHz/],
  ['makes a wrong tick', stores(WATCHDOG_TICK, (value) => value + 1), /whose tick is 0.92 MHz/],
  ['sets the PLL of USB to 60 MHz', stores(PLL_USB_FBDIV_INT, () => 125), /a clock of 60 MHz/],
  ['does not wait for the crystal', waitsNotFor(XOSC_STATUS), /before the crystal is stable/],
  ['does not wait for the PLLs', waitsNotFor(PLL_SYS_CS, PLL_USB_CS), /has not locked yet/],
  [
    'leaves the input of RX off',
    stores(pad(PINS.linkRx), (value) => value & ~PAD_INPUT),
    /GPIO 1 /,
  ],
  [
    'leaves the output of MAT off',
    stores(pad(PINS.mat), (value) => value | PAD_OUTPUT_OFF),
    /GPIO 16 /,
  ],
  ['leaves the PHY of USB aside', leavesOut(USB_MUXING), /without its PHY/],
  ['leaves VBUS aside', leavesOut(USB_PWR), /or without VBUS/],
  ['reads flash at the full clock', stores(SSI_BAUDR, () => 1), /Flash clock divided by 1/],
  [
    'turns quad reads on without wait cycles',
    stores(SSI_SPI_CTRLR0, (value) => value & ~WAIT_CYCLES),
    /wait cycles/,
  ],
];

/** Commands to the flash chip (W25Q16JV data sheet, section 8), as the image sends them by hand. */
const WRITE_ENABLE = 0x06;
const ERASE_SECTOR = 0x20;
const ERASE_BLOCK = 0xd8;
const READ_STATUS = 0x05;
const SUSPEND = 0x75;
const RESUME = 0x7a;
/** The boot stage has had its say by then. */
const BOOTED_MS = 100;

describe.skipIf(cannotBuild)('an image that', () => {
  let image: BuiltImage;
  beforeAll(async () => {
    image = await trayward();
  }, BUILD_LIMIT_MS);

  /** A new board with it: in this time it starts, erases, is found by a host and spoken to. */
  const started = (breakage: Breakage = {}): Chip => {
    const chip = new Chip({ flash: flashWithImage(image.bytes), breakage });
    chip.powerOn();
    return chip;
  };
  const live = (chip: Chip): void => {
    chip.run(400);
    chip.writeUart(Uint8Array.of(0x0a));
    chip.run(400);
  };
  const at = (name: string): number => addressOf(image.symbols, name);

  it('is sound breaks no rule', () => {
    const chip = started();
    live(chip);
    expect([...chip.complaints, ...chip.faults]).toEqual([]);
    expect(chip.flash.operations).toBeGreaterThan(0);
  });

  it.each(REGISTERS)('%s ends its run', (_what, breakage, words) => {
    expect(() => live(started(breakage))).toThrow(words);
  });

  /** Puts another function of the ROM in the place of one, as soon as the image has looked it up. */
  const callsInstead = (chip: Chip, name: string, other: string): void => {
    const isFound = () => [name, other].every((one) => (chip.word(at(one)) & ~0x3fff) === 0);
    chip.runUntil(() => chip.nowMs > 5 && isFound() && chip.word(at(other)) !== 0, 300, 0.05);
    chip.poke(at(name), chip.word(at(other)));
  };

  it('leaves XIP without connecting the flash first ends its run', () => {
    const chip = started();
    callsInstead(chip, 'connect_internal_flash', 'flash_flush_cache');
    expect(() => live(chip)).toThrow(/without connecting the flash/);
  });

  it('does not flush the cache behind a flash operation ends its run', () => {
    const chip = started();
    callsInstead(chip, 'flash_flush_cache', 'connect_internal_flash');
    expect(() => live(chip)).toThrow(/cache that was not flushed/);
  });

  it.each([
    ['erases blocks for sectors', ERASE_SECTOR, ERASE_BLOCK, /Command 0xd8/],
    ['erases what it has not enabled', WRITE_ENABLE, READ_STATUS, /not enabled/],
    ['leaves an erase suspended', RESUME, SUSPEND, /half erased/],
    ['reads on while it erases', READ_STATUS, RESUME, /Command 0x7a to a flash chip that erases/],
  ])('%s ends its run', (_what, command, instead, words) => {
    let isBooted = false;
    const chip = started({
      store: (address, value) =>
        isBooted && address === SSI_DR0 && value === command ? instead : value,
    });
    chip.run(BOOTED_MS);
    isBooted = true;
    expect(() => live(chip)).toThrow(words);
  });
});
