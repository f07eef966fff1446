/**
 * The registers that translated code asks by itself, some thousand times a second: of pins, converter and timer. What else
 * a peripheral has - and what hardly ever is asked, or changes more than itself - is the interpreter's, one instruction at
 * a time.
 */
import type { RP2040 } from 'rp2040js';
import type { ChipClock } from './clock';
import { accessCycles } from './mended-core';
import type { Peripherals } from './translation/executor';
import type { ChipMemory } from './translation/memory';

/** Levels, outputs and their directions (RP2040 data sheet 2.3.1.7). */
const SIO_GPIO_IN = 0xd0000004;
const SIO_GPIO_OUT = 0xd0000010;
const SIO_GPIO_OE_XOR = 0xd000002c;
/** From CS to FIFO (data sheet 4.9.6), each of which can be stored to in four ways (2.1.2). */
const ADC_CS = 0x4004c000;
const ADC_FIFO = 0x4004c00c;
const STORE_WAYS = 0x3000;
/** The count, without a latch (data sheet 4.6.5). */
const TIMER_RAWH = 0x40054024;
const TIMER_RAWL = 0x40054028;

const isPin = (address: number): boolean => address >= SIO_GPIO_OUT && address <= SIO_GPIO_OE_XOR;
const isConverter = (address: number): boolean => address >= ADC_CS && address <= ADC_FIFO;
const isTimer = (address: number): boolean => address === TIMER_RAWL || address === TIMER_RAWH;

const isAligned = (address: number): boolean => (address & 3) === 0;
const isLoaded = (address: number): boolean =>
  isPin(address) || address === SIO_GPIO_IN || isConverter(address) || isTimer(address);
const isStoredTo = (address: number): boolean =>
  isPin(address) || isConverter(address & ~STORE_WAYS);

/** Where it is in time while translated code executes, and what may end that. */
export interface Stay {
  /** Time at which it began, ns: later by what went by while a peripheral was asked. */
  sinceNanos: number;
  /** Time at which it ends at the latest, ns. */
  untilNanos: number;
  nanosPerCycle: number;
  /** Something else than the next instruction comes next. */
  isOver(): boolean;
}

/** These registers for the code that executes in `memory`. */
export function quickRegisters(
  chip: RP2040,
  memory: ChipMemory,
  clock: ChipClock,
  stay: Stay,
): Peripherals {
  const { core } = chip;
  /** Moves time to where the run is, and gives it. */
  const now = (cycles: number): number => {
    clock.nanos = stay.sinceNanos + (memory.cycles + cycles) * stay.nanosPerCycle;
    return clock.nanos;
  };
  /** What was asked may have let time go by, and made something due. */
  const goOn = (askedNanos: number, cycles: number): void => {
    stay.sinceNanos += clock.nanos - askedNanos;
    const dueNanos = Math.min(stay.untilNanos, clock.nextNanos);
    const limit = Math.ceil((dueNanos - stay.sinceNanos) / stay.nanosPerCycle);
    memory.endAfter(core.interruptsUpdated || stay.isOver() ? 0 : limit, memory.cycles + cycles);
  };
  return {
    load(address, cycles) {
      if (!isAligned(address) || !isLoaded(address)) return 0;
      const askedNanos = now(cycles);
      memory.loaded = chip.readUint32(address);
      goOn(askedNanos, cycles);
      return accessCycles(chip, address, false);
    },
    store(address, value, cycles) {
      if (!isAligned(address) || !isStoredTo(address)) return 0;
      const askedNanos = now(cycles);
      chip.writeUint32(address, value >>> 0);
      goOn(askedNanos, cycles);
      return accessCycles(chip, address, true);
    },
  };
}
