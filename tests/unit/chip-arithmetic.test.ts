/**
 * The instructions that the emulator's own interpreter gets wrong, against the ARMv6-M Architecture
 * Reference Manual: cold, as they are executed at first, and translated.
 */
import { describe, expect, it } from 'vitest';
import { RAM_START as RAM } from '../../firmware/bench/chip/address-map';
import { BREAKPOINT, type Ended, interpreted, START, translation, WORDS } from './two-processors';

interface Flags {
  readonly value: number;
  readonly C: boolean;
  readonly V: boolean;
}

/** Shift_C and AddWithCarry of the manual (A2.2.1), a bit at a time and with whole numbers. */
const MANUAL = {
  shifted(x: number, by: number, C: boolean, once: (x: number) => [number, boolean]): Flags {
    let [value, carry] = [x >>> 0, C];
    for (let i = 0; i < by; i += 1) [value, carry] = once(value);
    return { value: value | 0, C: carry, V: false };
  },
  lsl: (x: number): [number, boolean] => [(x * 2) % 2 ** 32, x >= 2 ** 31],
  lsr: (x: number): [number, boolean] => [Math.floor(x / 2), x % 2 === 1],
  asr: (x: number): [number, boolean] => [
    Math.floor(x / 2) + (x >= 2 ** 31 ? 2 ** 31 : 0),
    x % 2 === 1,
  ],
  ror: (x: number): [number, boolean] => [
    Math.floor(x / 2) + (x % 2 === 1 ? 2 ** 31 : 0),
    x % 2 === 1,
  ],
  sum(x: number, y: number, C: boolean): Flags {
    const unsigned = (x >>> 0) + (y >>> 0) + (C ? 1 : 0);
    const signed = (x | 0) + (y | 0) + (C ? 1 : 0);
    const value = unsigned | 0;
    return { value, C: unsigned !== value >>> 0, V: signed !== value };
  },
} as const;

describe('shifts by a register and sums with carry, cold and translated', () => {
  const { shifted, lsl, lsr, asr, ror, sum } = MANUAL;
  const shift =
    (once: (x: number) => [number, boolean]) =>
    (x: number, y: number, C: boolean): Flags =>
      shifted(x, y & 255, C, once);

  it.each([
    ['lsls', 0x4088, shift(lsl)],
    ['lsrs', 0x40c8, shift(lsr)],
    ['asrs', 0x4108, shift(asr)],
    ['rors', 0x41c8, shift(ror)],
    ['adcs', 0x4148, sum],
    ['sbcs', 0x4188, (x: number, y: number, C: boolean) => sum(x, ~y, C)],
  ] as const)('%s r0, r1 does what the manual says', (_name, code, manual) => {
    const run = translation([code, BREAKPOINT]);
    const none = new Array(11).fill(0);
    for (const x of [...WORDS.odd, 0x18000001, -4, 0x40000000]) {
      for (const y of [...WORDS.odd, 4, 40, -2, 0x120]) {
        for (const carry of [false, true]) {
          const { value, C, V } = manual(x, y, carry);
          const before = {
            registers: [x, y, ...none, RAM, 0],
            flags: [false, false, carry, false],
          };
          const expected = [value, value < 0, value === 0, C, V];
          const told = ({ registers, flags }: Ended) => [registers[0], ...flags];
          const where = `${x}, ${y}, carry ${carry}`;
          expect(told(interpreted(before, 1)), `cold: ${where}`).toEqual(expected);
          const after = run?.(before);
          expect(after && told(after), `translated: ${where}`).toEqual(expected);
        }
      }
    }
  });

  it('also where a branch leads to them', () => {
    // b.n over two halfwords to adcs r0, r1: 7fffffffh and a carry make the sign, and overflow.
    const program = [0xe001, 0xbe00, 0xbe00, 0x4148, BREAKPOINT];
    const registers = [0x7fffffff, 0, ...new Array(11).fill(0), RAM, 0];
    const before = { registers, flags: [false, false, true, false] };
    const after = translation(program)?.(before);
    expect(after).toEqual(interpreted(before, 2));
    expect(after?.flags).toEqual([true, false, false, true]);
  });
});

describe('a call through the link register', () => {
  it('goes where that pointed, and leaves there where to go back to', () => {
    const target = START + 0x40;
    const registers = [...new Array(13).fill(0), RAM, target + 1];
    const before = { registers, flags: [false, false, false, false] };
    const run = translation([0x47f0]);
    for (const { registers: now } of [interpreted(before, 1), run?.(before)].flatMap(
      (x) => x ?? [],
    )) {
      expect(now.slice(14)).toEqual([START + 3, target]);
    }
  });
});
