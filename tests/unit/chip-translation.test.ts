/** Translated runs do what the emulator's interpreter does, instruction by instruction. */
import fc from 'fast-check';
import { RP2040 } from 'rp2040js';
import { describe, expect, it } from 'vitest';
import {
  FLASH_START as FLASH,
  RAM_START as RAM,
  RAM_BYTES,
} from '../../firmware/bench/chip/address-map';
import { COUNT_SHIFT, CYCLES_MASK, type Memory } from '../../firmware/bench/chip/translation/code';
import { Translation } from '../../firmware/bench/chip/translation/translation';
import { FLASH_BYTES, FLASH_MAP } from '../../shared/board/map';

const START = FLASH + 0x1000;
/** Far more often than a run must be wanted to be translated. */
const WANTED = 300;

interface State {
  readonly registers: readonly number[];
  readonly flags: readonly boolean[];
}

interface Ended extends State {
  readonly count: number;
  readonly cycles: number;
  readonly ram: Uint8Array;
}

const FILLED = Uint8Array.from({ length: FLASH_BYTES }, (_, i) => (i * 197) & 0xff);
const RAM_AT_START = Uint8Array.from({ length: RAM_BYTES }, (_, i) => (i * 89) & 0xff);
const interpreter = new RP2040();

/** Flash with this program at `START`, and something else to read everywhere. */
function flashWith(program: readonly number[]): Uint8Array {
  const flash = FILLED.slice();
  program.forEach((opcode, i) => {
    flash[START - FLASH + 2 * i] = opcode & 0xff;
    flash[START - FLASH + 2 * i + 1] = opcode >> 8;
  });
  return flash;
}

/** Runs the translation once; null when the first instruction is not translated. */
function translated(flash: Uint8Array, { registers, flags }: State): Ended | null {
  const translation = new Translation(flash.slice(0, FLASH_MAP.image.bytes));
  let run = null;
  for (let i = 0; i < WANTED && run === null; i += 1) run = translation.at(START);
  if (run === null) return null;
  const ram = RAM_AT_START.slice();
  const [N = false, Z = false, C = false, V = false] = flags;
  const memory: Memory = {
    registers: Int32Array.from([...registers, START]),
    flags: { N, Z, C, V },
    ram8: ram,
    ram16: new Uint16Array(ram.buffer),
    ram32: new Int32Array(ram.buffer),
    flash8: flash,
    flash16: new Uint16Array(flash.buffer),
    flash32: new Int32Array(flash.buffer),
  };
  const done = run(memory);
  const { flags: after } = memory;
  return {
    registers: [...memory.registers],
    flags: [after.N, after.Z, after.C, after.V],
    count: done >>> COUNT_SHIFT,
    cycles: done & CYCLES_MASK,
    ram,
  };
}

/** Executes `count` instructions in the emulator's own way. */
function interpreted(flash: Uint8Array, { registers, flags }: State, count: number): Ended {
  interpreter.flash.set(flash);
  interpreter.sram.set(RAM_AT_START);
  const { core } = interpreter;
  core.registers.set([...registers, START]);
  [core.N = false, core.Z = false, core.C = false, core.V = false] = flags;
  let cycles = 0;
  for (let i = 0; i < count; i += 1) cycles += core.executeInstruction();
  return {
    registers: [...Int32Array.from(core.registers)],
    flags: [core.N, core.Z, core.C, core.V],
    count,
    cycles,
    ram: interpreter.sram.slice(),
  };
}

const word = fc.oneof(
  fc.integer({ min: -2, max: 300 }),
  fc.integer({ min: -0x80000000, max: 0x7fffffff }),
  fc.constantFrom(0x7fffffff, -0x80000000, -1),
  fc.integer({ min: 0, max: 0x2000 }).map((n) => RAM + 0x8000 + 4 * n),
  fc.integer({ min: 0, max: 0x2000 }).map((n) => FLASH + 0x4000 + 4 * n),
);
const state = fc.record({
  registers: fc
    .tuple(fc.array(word, { minLength: 13, maxLength: 13 }), word)
    .map(([lows, link]) => [...lows, RAM + 0x10000, link]),
  flags: fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }),
});

/** Shifts by a register and sums with carry, which the interpreter gets wrong at the edges. */
const isLeftOut = (opcode: number): boolean => {
  const operation = (opcode >> 6) & 15;
  // `blx lr`: the chip jumps to where lr was (ARMv6-M A6.7.14), the interpreter to where it then is.
  if (opcode >> 3 === 0x4780 / 8 + 14) return true;
  return opcode >> 10 === 0x10 && [2, 3, 4, 5, 6, 7].includes(operation);
};
const opcode = fc
  .oneof(fc.integer({ min: 0, max: 0xffff }), fc.integer({ min: 0x4000, max: 0x47ff }))
  .filter((code) => !isLeftOut(code));

describe('translated instructions', () => {
  it('leave registers, flags, RAM and cycles as interpreted ones do', () => {
    let executed = 0;
    fc.assert(
      fc.property(fc.array(opcode, { minLength: 1, maxLength: 12 }), state, (program, before) => {
        const flash = flashWith(program);
        const ended = translated(flash, before);
        if (ended === null) return;
        executed += ended.count;
        const { ram, ...rest } = ended;
        const { ram: expectedRam, ...expected } = interpreted(flash, before, ended.count);
        expect(rest).toEqual(expected);
        expect(Buffer.compare(ram, expectedRam)).toBe(0);
      }),
      { numRuns: 1000, interruptAfterTimeLimit: 20_000 },
    );
    expect(executed).toBeGreaterThan(400);
  });

  it('go round a loop as often as it says, with all that it changes', () => {
    // adds r1, r1, r0; strb r0, [r2, r0]; subs r0, #1; bne back to the start
    const program = [0x1809, 0x5410, 0x3801, 0xd1fb];
    const before: State = {
      registers: [20, 0, RAM + 0x100, ...new Array(10).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const flash = flashWith(program);
    const ended = translated(flash, before);
    expect(ended?.count).toBeGreaterThan(20);
    expect(ended).toEqual(interpreted(flash, before, ended?.count ?? 0));
  });
});

describe('what the interpreter gets wrong', () => {
  const none = [false, false, false, false];
  /** r0 and the flags N, Z, C, V after one instruction on r0 and r1. */
  const after = (code: number, r0: number, r1: number, carry: boolean) => {
    const registers = [r0, r1, ...new Array(11).fill(0), RAM + 0x10000, 0];
    const flags = [false, false, carry, false];
    const ended = translated(flashWith([code, 0xbe00]), { registers, flags });
    return [ended?.registers[0], ...(ended?.flags ?? none)];
  };

  // ARMv6-M Architecture Reference Manual: Shift_C and AddWithCarry (A2.2.1), worked by hand.
  it.each([
    ['lsls by 0 keeps the carry', 0x4088, 5, 0, true, [5, false, false, true, false]],
    ['lsls by 32', 0x4088, 1, 32, false, [0, false, true, true, false]],
    ['lsls by 33', 0x4088, -1, 33, true, [0, false, true, false, false]],
    ['lsls by 4', 0x4088, 0x18000001, 4, false, [-0x7ffffff0, true, false, true, false]],
    ['lsrs by 0 keeps the carry', 0x40c8, -1, 256, false, [-1, true, false, false, false]],
    ['lsrs by 32', 0x40c8, -1, 32, false, [0, false, true, true, false]],
    ['lsrs by 1', 0x40c8, 3, 1, false, [1, false, false, true, false]],
    ['asrs by 0 keeps the carry', 0x4108, -4, 0, false, [-4, true, false, false, false]],
    ['asrs by 40', 0x4108, -4, 40, false, [-1, true, false, true, false]],
    ['rors by 0 keeps the carry', 0x41c8, 1, 0, true, [1, false, false, true, false]],
    ['rors by 32', 0x41c8, -2, 32, false, [-2, true, false, true, false]],
    ['rors by 4', 0x41c8, 0x1f, 4, false, [-0xfffffff, true, false, true, false]],
    ['adcs over the sign', 0x4148, 0x7fffffff, 0, true, [-0x80000000, true, false, false, true]],
    ['adcs round to zero', 0x4148, -1, 0, true, [0, false, true, true, false]],
    ['adcs without a carry', 0x4148, 2, 3, false, [5, false, false, false, false]],
    ['sbcs with a borrow', 0x4188, 0, 0, false, [-1, true, false, false, false]],
    ['sbcs of all ones', 0x4188, 0, -1, false, [0, false, true, false, false]],
    ['sbcs over the sign', 0x4188, -0x80000000, 1, true, [0x7fffffff, false, false, true, true]],
  ] as const)('%s', (_what, code, r0, r1, carry, expected) => {
    expect(after(code, r0, r1, carry)).toEqual(expected);
  });
});
