/** Translated runs do what the emulated processor does instruction by instruction. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RAM_START as RAM } from '../../firmware/bench/chip/address-map';
import { LR, PC } from '../../firmware/bench/chip/translation/code';
import { Executor } from '../../firmware/bench/chip/translation/executor';
import { ChipMemory } from '../../firmware/bench/chip/translation/memory';
import { Translation } from '../../firmware/bench/chip/translation/translation';
import { Random } from '../../firmware/bench/random';
import { FLASH_START as FLASH } from '../../shared/board/map';
import { holds, SEEDS } from '../properties';
import { laidOut, opcode, parts, state } from './chip-programs';
import {
  BREAKPOINT,
  type Ended,
  executed,
  executing,
  expectSameRam,
  flash,
  flashed,
  interpreted,
  isMadeAtStart,
  START,
  type State,
  translation,
  translationsOf,
  WANTED,
  WORDS,
  wantOften,
  warmed,
} from './two-processors';

const OPCODES = 0x10000;
/** Every so manieth opcode is tried alone with each seed, others from run to run. */
const STRIDE = 29;
/** Translated together: a module for each would take longer than all that it does. */
const TOGETHER = 64;

/** States of the processor that make much of the edges. */
function anyStates(random: Random): () => State {
  const odd = (): number => WORDS.odd[random.bits() % WORDS.odd.length] ?? 0;
  const inRam = (): number => WORDS.inRam + 4 * (random.bits() % 0x2000);
  const kinds = [odd, odd, () => random.bits() | 0, inRam];
  const anyWord = (): number => kinds[random.bits() % kinds.length]?.() ?? 0;
  return () => ({
    registers: [...Array.from({ length: 13 }, anyWord), RAM + 0x10000, anyWord()],
    flags: Array.from({ length: 4 }, () => random.bits() % 2 === 0),
  });
}

const isSame = (one: Ended, other: Ended): boolean =>
  one.cycles === other.cycles &&
  one.interruptsOff === other.interruptsOff &&
  one.registers.every((value, i) => value === other.registers[i]) &&
  one.flags.every((value, i) => value === other.flags[i]);

describe('translated instructions', () => {
  it.each(SEEDS)('do each by itself what interpreted ones do (seed %d)', (seed) => {
    const anyState = anyStates(new Random(seed));
    let done = 0;
    const first = seed % STRIDE;
    const chosen = Array.from(
      { length: Math.ceil((OPCODES - first) / STRIDE) },
      (_, i) => first + i * STRIDE,
    );
    for (let i = 0; i < chosen.length; i += TOGETHER) {
      const codes = chosen.slice(i, i + TOGETHER);
      for (const [k, made] of translationsOf(codes).entries()) {
        if (made === null) continue;
        for (let times = 0; times < 4; times += 1) {
          const before = { ...anyState(), from: made.from };
          const after = made.run(before);
          done += after.count;
          const expected = interpreted(before, after.count);
          // Asked first, because the words for a difference cost more than the instruction.
          if (!isSame(after, expected)) {
            const code = codes[k];
            expect({ code, before, ...after }).toEqual({ code, before, ...expected });
          }
        }
        expectSameRam();
      }
    }
    expect(done).toBeGreaterThan(OPCODES / STRIDE);
  });

  it('do in programs what interpreted ones do', () => {
    let done = 0;
    holds(
      fc.property(fc.array(opcode, { minLength: 1, maxLength: 12 }), state, (program, before) => {
        const run = translation(program);
        if (run === null) return;
        const after = run(before);
        done += after.count;
        expect(after).toEqual(interpreted(before, after.count));
        expectSameRam();
      }),
      { numRuns: 2000 },
    );
    expect(done).toBeGreaterThan(1000);
  });

  it('do what interpreted ones do wherever branches, loops and calls lead', () => {
    const counts: number[] = [];
    holds(
      fc.property(parts, state, fc.integer({ min: 1, max: 400 }), (program, before, cycles) => {
        const { opcodes, times } = laidOut(program);
        const made = wantOften(warmed(new Translation(flashed(opcodes)), times));
        if (!isMadeAtStart(made)) return;
        const after = executed(executing(made), before, cycles);
        counts.push(after.count);
        expect(after).toEqual(interpreted(before, after.count));
        expectSameRam();
      }),
      { numRuns: 1000 },
    );
    expect(counts.filter((count) => count > 50).length).toBeGreaterThan(25);
  });

  it('are entered again where a call comes back to', () => {
    // bl over two; adds r1, #1; breakpoint; adds r0, #1; bx lr
    const program = [0xf000, 0xf802, 0x3101, BREAKPOINT, 0x3001, 0x4770];
    const made = wantOften(
      warmed(
        new Translation(flashed(program)),
        program.map(() => 1),
      ),
    );
    expect(made.modules.flatMap(({ runs }) => runs)).toHaveLength(1);
    const before: State = {
      registers: [1, 1, ...new Array(11).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const after = executed(executing(made), before, 100);
    expect(after.count).toBe(4);
    expect(after).toEqual(interpreted(before, 4));
  });

  it('go round a loop that is as long as a run may be', () => {
    // adds r0, #1 127 times; b back to the tenth
    const program = [...new Array(127).fill(0x3001), 0xe000 | ((10 - 127 - 2) & 0x7ff)];
    const run = translation(program);
    const before: State = {
      registers: [...new Array(13).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const after = run?.(before, 1000);
    expect(after?.count).toBeGreaterThan(900);
    expect(after).toEqual(interpreted(before, after?.count ?? 0));
  });

  it('end where a way that was never taken leads into the midst of a loop', () => {
    // bpl to itself; b over one; bx lr; cmp r6, #0; adds r1, #0; b over two; bx lr; ble to the second; bmi over three;
    // cmp r1, #0; b back to the ble
    const program = [
      0xd5fe, 0xe000, 0x4770, 0x2e00, 0x3100, 0xe001, 0x4770, 0xddf8, 0xd402, 0x2900, 0xe7fb,
    ];
    const times = [0, 1, 3, 1, 0, 1, 3, 3, 0, 2, 2];
    const made = wantOften(warmed(new Translation(flashed(program)), times));
    const before: State = {
      registers: [...new Array(13).fill(0), RAM + 0x10000, START + 1],
      flags: [true, false, false, false],
    };
    const after = executed(executing(made), before, 300);
    expect(after.count).toBeGreaterThan(100);
    expect(after).toEqual(interpreted(before, after.count));
  });

  it('end when something is due, in a loop too, at most a turn of it late', () => {
    // adds r0, #1; adds r1, #1; b back to the start
    const program = [0x3001, 0x3101, 0xe7fc];
    const executor = executing(wantOften(new Translation(flashed(program))));
    const before: State = {
      registers: [...new Array(13).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    for (const cycles of [1, 100, 1000, 100_000]) {
      const after = executed(executor, before, cycles);
      expect(after.cycles).toBeGreaterThanOrEqual(cycles);
      expect(after.cycles).toBeLessThan(cycles + 4);
      expect(after.registers[0]).toBe(after.cycles / 4);
    }
  });

  it('go from one run to the next until they took as many cycles as they may', () => {
    // adds r0, #1; bx r1, which leads back: a run ends with each of them
    const program = [0x3001, 0x4708];
    const executor = executing(wantOften(new Translation(flashed(program))));
    const before: State = {
      registers: [0, START + 1, ...new Array(11).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const after = executed(executor, before, 100);
    expect(after.cycles).toBeGreaterThanOrEqual(100);
    expect(after.cycles).toBeLessThan(104);
    expect(after).toEqual(interpreted(before, after.count));
  });

  it('turn interrupts off as interpreted ones do, and read before and after whether they are', () => {
    // mrs r0, primask; cpsid i; mrs r1, primask
    const run = translation([0xf3ef, 0x8010, 0xb672, 0xf3ef, 0x8110, BREAKPOINT]);
    const before: State = {
      registers: [7, 7, ...new Array(11).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const after = run?.(before);
    expect(after).toMatchObject({ count: 3, interruptsOff: true });
    expect(after?.registers.slice(0, 2)).toEqual([0, 1]);
    expect(after).toEqual(interpreted(before, 3));
  });

  it('leave everything as it is where the first one is for the interpreter', () => {
    // ldr r0, [r1], which points at a peripheral
    const executor = executing(wantOften(new Translation(flashed([0x6808, BREAKPOINT]))));
    const before: State = {
      registers: [7, 0x40054000, ...new Array(11).fill(0), RAM + 0x10000, 0],
      flags: [true, false, true, false],
    };
    expect(executed(executor, before, 100)).toEqual({
      ...{ count: 0, cycles: 0, flags: before.flags, interruptsOff: false },
      registers: [...before.registers, START],
    });
  });

  it('go round a loop as often as it says, with all that it changes', () => {
    // adds r1, r1, r0; strb r0, [r2, r0]; subs r0, #1; bne back to the start
    const run = translation([0x1809, 0x5410, 0x3801, 0xd1fb]);
    const before: State = {
      registers: [20, 0, RAM + 0x100, ...new Array(10).fill(0), RAM + 0x10000, 0],
      flags: [false, false, false, false],
    };
    const after = run?.(before, 250);
    expect(after?.count).toBeGreaterThan(20);
    expect(after).toEqual(interpreted(before, after?.count ?? 0));
    expectSameRam();
  });

  it('are found however many there are', () => {
    // bx lr at each halfword: as many runs
    const count = 10_000;
    const image = new Uint8Array(new Uint16Array(count + 2).fill(0x4770).buffer);
    const many = new Translation(image);
    const at = (i: number): number => FLASH + 2 * i;
    for (let i = 0; i < count; i += 1) {
      for (let times = 0; times < WANTED && !many.runAt.has(i); times += 1) many.want(at(i));
    }
    many.makeModule();
    const memory = new ChipMemory();
    const executor = new Executor(memory, many);
    for (const place of [0, 1, 4095, 4096, count - 1]) {
      memory.registers[LR] = at(count + 1);
      memory.registers[PC] = at(place);
      executor.execute(1);
      expect([memory.count, memory.registers[PC]]).toEqual([1, at(count + 1)]);
    }
  });

  it('leave alone what is loaded from beyond the image, which may change', () => {
    // ldr r0 from 512 bytes further on, in an image that ends before.
    const image = flashed([0x4880, BREAKPOINT]).slice(0, START - FLASH + 8);
    expect(isMadeAtStart(wantOften(new Translation(image)))).toBe(false);
  });
});

describe('a translation of an image that begins as another one', () => {
  const hot = (image: Uint8Array): Translation => wantOften(new Translation(image));
  const behind = (image: Uint8Array, at: number): Uint8Array => {
    const other = image.slice();
    other.fill(0xaa, START - FLASH + at);
    return other;
  };

  it('knows from the first time on what both have', () => {
    // adds r0, r0, #1; ldr r1 from eight bytes behind START
    const image = flashed([0x1c40, 0x4901, BREAKPOINT]);
    expect(isMadeAtStart(new Translation(behind(image, 12), hot(image)))).toBe(true);
    expect(isMadeAtStart(new Translation(behind(image, 12)))).toBe(false);
  });

  it.each([
    { what: 'an instruction', at: 2 },
    { what: 'a word that is loaded', at: 8 },
  ])('has its own where $what differs', ({ at }) => {
    const image = flashed([0x1c40, 0x4901, BREAKPOINT]);
    const old = hot(image);
    const other = behind(image, at);
    const made = new Translation(other, old);
    expect(isMadeAtStart(made)).toBe(false);
    wantOften(made);
    expect(isMadeAtStart(made)).toBe(true);
    flash(other);
    const before = {
      registers: [...new Array(13).fill(0), RAM, 0],
      flags: [false, false, false, false],
    };
    const after = executed(executing(made), before);
    expect(after.count).toBeGreaterThan(0);
    expect(after).toEqual(interpreted(before, after.count));
  });
});
