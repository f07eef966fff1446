/** Translated code at a peripheral: it loads, stores and waits as the interpreter does, and ends when something is due. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RAM_START as RAM } from '../../firmware/bench/chip/address-map';
import { accessCycles } from '../../firmware/bench/chip/mended-core';
import { Translation } from '../../firmware/bench/chip/translation/translation';
import { holds } from '../properties';
import {
  chip,
  executed,
  executing,
  expectSameRam,
  flashed,
  interpreted,
  START,
  type State,
  translatedMemory,
  wantOften,
} from './two-processors';

/** Pins on the processor's own bus, a peripheral on the slow one, and RAM: what r4 to r6 point to. */
const BASES = [0xd0000010, 0x4004c000, RAM + 0x8000];
const isPeripheral = (address: number): boolean => address >= 0x40000000;

/** `ldr` and `str` of r0 to r3 at those, and sums of them. */
const access = fc
  .tuple(fc.boolean(), fc.nat(3), fc.nat(BASES.length - 1), fc.nat(3))
  .map(([loads, word, base, d]) => (loads ? 0x6800 : 0x6000) | (word << 6) | ((4 + base) << 3) | d);
const sum = fc
  .tuple(fc.nat(3), fc.nat(3), fc.nat(3))
  .map(([d, n, m]) => 0x1800 | (m << 6) | (n << 3) | d);
const program = fc
  .array(fc.oneof({ weight: 2, arbitrary: access }, sum), { minLength: 1, maxLength: 12 })
  .map((opcodes) => [...opcodes, 0xe000 | ((-opcodes.length - 2) & 0x7ff)]);

const before: State = {
  registers: [1, 2, 3, 4, ...BASES, ...new Array(6).fill(0), RAM + 0x10000, 0],
  flags: [false, false, false, false],
};

interface Asked {
  readonly what: 'load' | 'store';
  readonly address: number;
  readonly value: number;
  readonly cycles: number;
}

/** What a peripheral that gives another word each time is asked, and when. */
class Peripheral {
  readonly asked: Asked[] = [];

  load(address: number, cycles: number): number {
    const value = Math.imul(this.asked.length + 1, 0x9e3779b1) >>> 0;
    this.asked.push({ what: 'load', address, value, cycles });
    return value;
  }

  store(address: number, value: number, cycles: number): void {
    this.asked.push({ what: 'store', address, value: value >>> 0, cycles });
  }
}

/** Runs it translated, for up to `cycles`; at the `due`th time a peripheral is asked, something is due. */
function translated(opcodes: readonly number[], cycles: number, due: number) {
  const translation = new Translation(flashed(opcodes));
  opcodes.forEach((_, i) => {
    translation.noteAtPeripheral(START + 2 * i);
  });
  const executor = executing(wantOften(translation));
  const peripheral = new Peripheral();
  const memory = translatedMemory;
  const goOn = (inRun: number): void => {
    memory.endAfter(peripheral.asked.length < due ? cycles : 0, memory.cycles + inRun);
  };
  executor.peripherals = {
    load(address, inRun) {
      memory.loaded = peripheral.load(address, memory.cycles + inRun);
      goOn(inRun);
      return accessCycles(chip, address, false);
    },
    store(address, value, inRun) {
      peripheral.store(address, value, memory.cycles + inRun);
      goOn(inRun);
      return accessCycles(chip, address, true);
    },
  };
  return { after: executed(executor, before, cycles), asked: peripheral.asked };
}

/** The same number of instructions one by one. */
function oneByOne(count: number) {
  const peripheral = new Peripheral();
  const { readUint32, writeUint32 } = chip;
  let now = 0;
  chip.readUint32 = (address) =>
    isPeripheral(address) ? peripheral.load(address, now) : readUint32.call(chip, address);
  chip.writeUint32 = (address, value) => {
    if (isPeripheral(address)) peripheral.store(address, value, now);
    else writeUint32.call(chip, address, value);
  };
  try {
    const after = interpreted(before, count, (cycles) => {
      now = cycles;
    });
    return { after, asked: peripheral.asked };
  } finally {
    Object.assign(chip, { readUint32, writeUint32 });
  }
}

describe('translated code at a peripheral', () => {
  it('asks what interpreted code asks, at the same times, and takes as long', () => {
    let asked = 0;
    holds(
      fc.property(program, fc.integer({ min: 1, max: 2000 }), (opcodes, cycles) => {
        const run = translated(opcodes, cycles, Number.POSITIVE_INFINITY);
        expect(run).toEqual(oneByOne(run.after.count));
        expect(run.after.cycles).toBeGreaterThanOrEqual(cycles);
        expectSameRam();
        asked += run.asked.length;
      }),
      { numRuns: 100 },
    );
    expect(asked).toBeGreaterThan(3000);
  });

  it('ends behind the instruction at which something became due', () => {
    holds(
      fc.property(program, fc.integer({ min: 1, max: 20 }), (opcodes, due) => {
        const run = translated(opcodes, 2000, due);
        expect(run).toEqual(oneByOne(run.after.count));
        expect(run.asked.length).toBeLessThanOrEqual(due);
        expectSameRam();
      }),
      { numRuns: 60 },
    );
  });

  it('stops before an instruction whose register is not for it', () => {
    // adds r0, #1; ldr r1, [r5]; adds r0, #1
    const opcodes = [0x3001, 0x6829, 0x3001];
    const translation = new Translation(flashed(opcodes));
    translation.noteAtPeripheral(START + 2);
    const executor = executing(wantOften(translation));
    const after = executed(executor, before, 100);
    expect(after).toMatchObject({ count: 1, cycles: 1 });
    expect(after).toEqual(interpreted(before, 1));
  });
});
