/**
 * The processor executing, in time: instructions, translated runs where nothing else can happen meanwhile, sleep until
 * something is due, and its answer to a fault.
 */
import type { RP2040 } from 'rp2040js';
import { FLASH_BYTES, FLASH_START } from '../../../shared/board/map';
import { BusFault, type StrictBus } from './bus';
import type { ChipClock } from './clock';
import { quickRegisters, type Stay } from './quick-registers';
import type { Executor } from './translation/executor';
import type { XipCache } from './xip-cache';

export const INSTRUCTION_BYTES = 2;
const NMI = 2;
const HARD_FAULT = 3;
/** Of one stay in translated code. */
const LONGEST_CYCLES = 1e9;

interface Parts {
  readonly rp2040: RP2040;
  readonly clock: ChipClock;
  readonly bus: StrictBus;
  readonly executor: Executor;
  readonly onFault: (fault: BusFault) => void;
}

export class Execution {
  /** Instructions executed. */
  instructions = 0;
  /** Simulated time spent executing, not sleeping, ns. */
  busyNanos = 0;
  /** Executes nothing while set; time and peripherals go on. */
  hung = false;
  /** Set when this run of the processor has come to its end. */
  isOver = false;
  /** The processor has no clock. */
  isStopped = false;
  /** A fault inside a fault handler stops it for good. */
  #lockedUp = false;
  #nanosPerCycle = 0;
  readonly #parts: Parts;
  /** The stay in translated code. */
  readonly #stay: Stay;

  constructor(parts: Parts) {
    this.#parts = parts;
    const { rp2040, clock, executor } = parts;
    const isOver = (): boolean => this.isOver || this.isAsleep;
    this.#stay = { sinceNanos: 0, untilNanos: 0, nanosPerCycle: 0, isOver };
    executor.peripherals = quickRegisters(rp2040, executor.memory, clock, this.#stay);
  }

  /** The processor's clock, MHz; 0: it has none. */
  set clockMhz(mhz: number) {
    this.isStopped = mhz === 0;
    if (!this.isStopped) this.#nanosPerCycle = 1000 / mhz;
  }

  get isAsleep(): boolean {
    return this.#parts.rp2040.core.waiting || this.#lockedUp || this.hung || this.isStopped;
  }

  /** Runs until that time of the machine, ns, or until it is over. */
  runUntil(nanos: number): void {
    while (this.#parts.clock.nanos < nanos && !this.isOver) {
      try {
        this.#execute(nanos);
      } catch (error) {
        if (!(error instanceof BusFault)) throw error;
        this.#fault(error);
      }
    }
  }

  #execute(until: number): void {
    const { clock, rp2040 } = this.#parts;
    const { core } = rp2040;
    while (clock.nanos < until && !this.isOver) {
      const isCalled = (core.pendingInterrupts & core.enabledInterrupts) !== 0;
      if (core.waiting && (isCalled || core.pendingSystick)) {
        core.waiting = false;
        core.interruptsUpdated = true;
      }
      if (this.isAsleep) {
        clock.tick(Math.min(clock.nextNanos, until) - clock.nanos);
      } else {
        this.#burst(until);
      }
    }
  }

  /** Executes until something is due, the processor sleeps or the watchdog bites. */
  #burst(until: number): void {
    const { clock, bus, rp2040 } = this.#parts;
    const { core } = rp2040;
    const { cache } = bus;
    const startNanos = clock.nanos;
    let executed = 0;
    try {
      do {
        // Translated code reads flash by itself, and knows of no sector that is half erased.
        const runs = cache === null && bus.mapped && bus.halfErased === null;
        if (runs && !core.interruptsUpdated) {
          executed += this.#executeRuns(until);
          if (clock.nanos >= until || clock.nanos >= clock.nextNanos) break;
        }
        // First the instruction: a flash operation, or a wait for the ADC, moves the time on by itself.
        const cycles = cache === null ? core.executeInstruction() : this.#executeCached(cache);
        clock.nanos += cycles * this.#nanosPerCycle;
        executed += 1;
      } while (
        clock.nanos < until &&
        clock.nanos < clock.nextNanos &&
        !core.waiting &&
        !this.isOver &&
        !this.isStopped
      );
    } finally {
      this.instructions += executed;
      this.busyNanos += clock.nanos - startNanos;
    }
    clock.fire();
  }

  /**
   * One instruction and what it waits for flash, cycles. While the upper half of a word is executed the processor fetches
   * the next word, whether the instruction goes on there or not (taken to be so: nothing that is fetched is called off).
   */
  #executeCached(cache: XipCache): number {
    const { core } = this.#parts.rp2040;
    const { PC } = core;
    const cycles = core.executeInstruction();
    const next = PC + INSTRUCTION_BYTES - FLASH_START;
    if ((PC & 2) !== 0 && next > 0 && next < FLASH_BYTES) cache.word(next);
    return cycles + cache.takeWaitedCycles();
  }

  /** Executes what is translated, until something is due or it ends; returns how many instructions. */
  #executeRuns(until: number): number {
    const { clock, executor } = this.#parts;
    const stay = this.#stay;
    stay.sinceNanos = clock.nanos;
    stay.untilNanos = Math.min(until, clock.nanos + LONGEST_CYCLES * this.#nanosPerCycle);
    stay.nanosPerCycle = this.#nanosPerCycle;
    const nanos = Math.min(stay.untilNanos, clock.nextNanos) - clock.nanos;
    executor.execute(Math.ceil(nanos / this.#nanosPerCycle));
    const { cycles, count } = executor.memory;
    clock.nanos = stay.sinceNanos + cycles * this.#nanosPerCycle;
    executor.translation.want(this.#parts.rp2040.core.PC);
    return count;
  }

  /** The processor's answer to a fault; one inside a fault handler stops it for good (lockup). */
  #fault(fault: BusFault): void {
    const { core } = this.#parts.rp2040;
    this.#parts.onFault(fault);
    if (core.IPSR === HARD_FAULT || core.IPSR === NMI || this.#lockedUp) {
      this.#lockedUp = true;
      return;
    }
    const isFetch = fault.address === (core.PC & ~1) >>> 0;
    if (!isFetch) core.PC -= INSTRUCTION_BYTES;
    try {
      core.waiting = false;
      core.exceptionEntry(HARD_FAULT);
      // The emulator enters handlers with the vector's Thumb bit still set.
      core.PC &= ~1;
    } catch (error) {
      if (!(error instanceof BusFault)) throw error;
      this.#lockedUp = true;
    }
  }
}
