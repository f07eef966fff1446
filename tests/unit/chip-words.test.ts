/** Loads and stores of words that are done at once: as the emulator's own interpreter does them. */

import fc from 'fast-check';
import { RP2040 } from 'rp2040js';
import { describe, expect, it } from 'vitest';
import { RAM_START } from '../../firmware/bench/chip/address-map';
import { accessWord } from '../../firmware/bench/chip/mended-core';
import { FLASH_START } from '../../shared/board/map';
import { holds } from '../properties';

const PC = FLASH_START + 0x100;
/** Where words are: RAM, flash, SIO, a peripheral on the slow bus and one on the fast, all in reach of 31 words. */
const BASES = [RAM_START + 0x400, FLASH_START + 0x200, 0xd0000000, 0x40014000, 0x50000000];

function chip(): RP2040 {
  const made = new RP2040();
  made.logger = { debug() {}, info() {}, warn() {}, error() {} };
  made.flash.set(Uint8Array.from({ length: 0x1000 }, (_, i) => (i * 197) & 0xff));
  return made;
}
const [stock, quick] = [chip(), chip()];

function set(on: RP2040, opcode: number, registers: readonly number[]): void {
  const offset = PC - FLASH_START;
  on.flash[offset] = opcode & 0xff;
  on.flash[offset + 1] = opcode >>> 8;
  registers.forEach((value, i) => {
    on.core.registers[i] = value;
  });
  on.core.PC = PC;
}
const state = ({ core, sram }: RP2040) => ({
  registers: [...core.registers],
  ram: [...sram.subarray(0x400, 0x480)],
});

const word = fc.integer({ min: 0, max: 0xffffffff });
const access = fc.record({
  loads: fc.boolean(),
  distance: fc.integer({ min: 0, max: 31 }),
  base: fc.integer({ min: 0, max: 7 }),
  register: fc.integer({ min: 0, max: 7 }),
  at: fc.constantFrom(...BASES),
  registers: fc.array(word, { minLength: 8, maxLength: 8 }),
});

describe('a load or store of a word', () => {
  it('does and takes what the interpreter’s does', () => {
    holds(
      fc.property(access, ({ loads, distance, base, register, at, registers }) => {
        const opcode =
          ((loads ? 0b01101 : 0b01100) << 11) | (distance << 6) | (base << 3) | register;
        const held = registers.map((value, i) => (i === base ? at : value));
        for (const on of [stock, quick]) set(on, opcode, held);
        const cycles = stock.core.executeInstruction();
        expect(accessWord(quick, opcode, PC)).toBe(cycles);
        expect(state(quick)).toEqual(state(stock));
      }),
    );
  });

  it('leaves every other instruction to the interpreter', () => {
    const others = Array.from({ length: 0x10000 }, (_, opcode) => opcode).filter(
      (opcode) => opcode >>> 11 !== 0b01101 && opcode >>> 11 !== 0b01100,
    );
    expect(others.filter((opcode) => accessWord(quick, opcode, PC) !== null)).toEqual([]);
  });
});
