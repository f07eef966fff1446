/** The emulated chip is stricter than the emulator it is made from: what would go wrong on silicon is told. */
import { describe, expect, it } from 'vitest';
import { BOOT_STAGE_BYTES, withBootStageCrc } from '../../firmware/bench/chip/boot-stage';
import { ImageError } from '../../firmware/bench/chip/bus';
import { Chip, flashWithImage } from '../../firmware/bench/chip/chip';

/** Thumb code, `r0` being the address in question. */
const LOAD_WORD = 0x6801;
const LOAD_HALFWORD = 0x8801;
const LOAD_BYTE = 0x7801;
const STORE_WORD = 0x6001;
const STORE_HALFWORD = 0x8001;
const STORE_BYTE = 0x7001;
const JUMP = 0x4700;
const UNDEFINED = 0xde00;
const WAIT_FOR_INTERRUPT = 0xbf30;

/** A board whose boot stage does this one thing, without power. */
function board(instruction: number, address: number): Chip {
  const stage = new Uint8Array(BOOT_STAGE_BYTES);
  const view = new DataView(stage.buffer);
  // ldr r0, [pc, #4]; the instruction; b to itself; nop; the address.
  [0x4801, instruction, 0xe7fe, 0x46c0].forEach((code, i) => {
    view.setUint16(2 * i, code, true);
  });
  view.setUint32(8, address, true);
  return new Chip({ flash: flashWithImage(withBootStageCrc(stage)) });
}

/** The same, run for a moment. */
function ran(instruction: number, address: number): Chip {
  const chip = board(instruction, address);
  chip.powerOn();
  chip.run(0.003);
  return chip;
}

describe('the emulated chip', () => {
  it.each([
    ['a word at an odd address', LOAD_WORD, 0x20000001, 'unaligned word load'],
    ['a word between two', LOAD_WORD, 0x20000002, 'unaligned word load'],
    ['a halfword at an odd address', LOAD_HALFWORD, 0x20000001, 'unaligned halfword load'],
    ['a word stored at an odd address', STORE_WORD, 0x20000002, 'unaligned word store'],
    ['a halfword stored at an odd address', STORE_HALFWORD, 0x20000001, 'unaligned halfword store'],
    ['a load from nowhere', LOAD_BYTE, 0x30000000, 'nothing'],
    ['a load behind the RAM', LOAD_WORD, 0x20042000, 'nothing'],
    ['a store to nowhere', STORE_BYTE, 0x30000000, 'nothing'],
    ['a word stored to flash', STORE_WORD, 0x10000000, 'store to flash'],
    ['a halfword stored to flash', STORE_HALFWORD, 0x10000000, 'store to flash'],
    ['a byte stored to flash', STORE_BYTE, 0x10100000, 'store to flash'],
    ['a store to ROM', STORE_WORD, 0x00000000, 'store to ROM'],
    ['a jump to nowhere', JUMP, 0x30000001, 'nothing'],
  ])('takes %s for a fault', (_what, instruction, address, fault) => {
    const { faults } = ran(instruction, address);
    expect(faults[0]).toMatchObject({
      what: fault,
      address: address & ~(instruction === JUMP ? 1 : 0),
    });
  });

  it('takes an instruction that the processor has not for a fault', () => {
    expect(ran(UNDEFINED, 0).faults[0]).toMatchObject({ address: 0x20041f02 });
  });

  it.each([
    ['a word', LOAD_WORD],
    ['a halfword', LOAD_HALFWORD],
    ['a byte', LOAD_BYTE],
  ])('takes none for %s that is where it should be', (_what, instruction) => {
    expect(ran(instruction, 0x20000000).faults).toEqual([]);
  });

  // The boot stage runs before flash is mapped, as code in RAM does during an erase.
  it.each([
    ['read', LOAD_WORD, 0x10000000],
    ['read through another view of it', LOAD_BYTE, 0x13000000],
    ['executed', JUMP, 0x10000101],
  ])('ends the run of an image by which flash is %s while it cannot be', (_how, code, address) => {
    expect(() => ran(code, address)).toThrow(ImageError);
  });

  it('ends the run of an image that uses a peripheral held in reset', () => {
    expect(() => ran(LOAD_WORD, 0x40034000)).toThrow(
      'UART0 used at 0x40034000 while held in reset',
    );
  });

  it.each([1, 2, 4, 8, 9])(
    'lets all of a time pass when it was switched on at 600 %d/7 ms',
    (sevenths) => {
      const chip = board(WAIT_FOR_INTERRUPT, 0);
      chip.run(600 + sevenths / 7);
      chip.powerOn();
      // The times are sums of fractions, and sums of sums: one may fall short of the other by its last bit.
      for (let step = 1; step <= 40; step += 1) {
        const beforeMs = chip.nowMs;
        chip.run(500 + step / 7);
        expect(chip.nowMs - beforeMs).toBeCloseTo(500 + step / 7, 3);
      }
    },
  );
});
