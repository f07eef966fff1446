/**
 * What the emulator's processor does otherwise than the ARMv6-M Architecture Reference Manual says, put
 * right: for code that is executed once as for code that has been translated.
 */
import type { RP2040 } from 'rp2040js';
import { PERIPHERALS_START } from './address-map';
import { SingleSteps } from './translation/executor';
import type { ChipMemory } from './translation/memory';

/** Shifts by a register and sums with carry: the interpreter's flags are wrong at the edges (A2.2.1). */
const isArithmeticToMend = (opcode: number): boolean =>
  opcode >>> 10 === 0x10 && MENDED_OPERATIONS.has((opcode >>> 6) & 15);
/** LSL, LSR, ASR, ADC, SBC and ROR by their number among the operations on two low registers (A5.2.2). */
const MENDED_OPERATIONS: ReadonlySet<number> = new Set([2, 3, 4, 5, 6, 7]);
/** `blx lr`: the chip goes where lr was (A6.7.14), the interpreter where it then is. */
const BLX_LR = 0x47f0;
const BLX_CYCLES = 2;
const CYCLES = 1;
const INSTRUCTION_BYTES = 2;

/** LDR and STR of a word at a register and a distance (A6.7.26, A6.7.59), by their first five bits. */
const LOAD_WORD = 0b01101;
const STORE_WORD = 0b01100;

/** What a load or store takes, its way to the address included. */
export const accessCycles = ({ core }: RP2040, address: number, stores: boolean): number =>
  CYCLES + core.cyclesIO(address, stores);

/**
 * Does a load or store of a word at once, as the interpreter does after forty comparisons: seven of ten instructions for
 * which translated code stops are one, at a peripheral: then `onPeripheral`. Returns its cycles; null for any other
 * instruction.
 */
export function accessWord(
  chip: RP2040,
  opcode: number,
  pc: number,
  onPeripheral: (pc: number) => void = () => {},
): number | null {
  const kind = opcode >>> 11;
  if (kind !== LOAD_WORD && kind !== STORE_WORD) return null;
  const { core } = chip;
  const { registers } = core;
  const [base, register] = [(opcode >>> 3) & 7, opcode & 7];
  const address = ((registers[base] ?? 0) + ((opcode >>> 4) & 0x7c)) >>> 0;
  if (address >= PERIPHERALS_START) onPeripheral(pc);
  // Before the access: a fault finds the program counter as the interpreter leaves it.
  core.PC = pc + INSTRUCTION_BYTES;
  if (kind === LOAD_WORD) registers[register] = chip.readUint32(address);
  else chip.writeUint32(address, registers[register] ?? 0);
  return accessCycles(chip, address, kind === STORE_WORD);
}

/** MSR of PRIMASK by the opcode without its register, and the halfword behind it (A6.7.43). */
const MSR = 0xf380;
const MSR_PRIMASK = 0x8810;
const MSR_CYCLES = 3;

/** Whether turning interrupts on may let one in: the next instruction asks which. */
const isCalled = ({ core }: RP2040): boolean =>
  (core.pendingInterrupts & core.enabledInterrupts) !== 0 ||
  core.pendingNMI ||
  core.pendingSVCall ||
  core.pendingPendSV ||
  core.pendingSystick;

/**
 * Instructions that the interpreter gets wrong are done by their translation; there is no third way. `onPeripheral`: the
 * one at this address loads from a peripheral, or stores to it.
 */
export function mendInstructions(
  chip: RP2040,
  memory: ChipMemory,
  onPeripheral: (pc: number) => void = () => {},
): void {
  const { core } = chip;
  const interpret = core.executeInstruction.bind(core);
  const steps = new SingleSteps(memory);
  core.executeInstruction = () => {
    if (core.interruptsUpdated && core.checkForInterrupts()) core.waiting = false;
    const pc = (core.PC & ~1) >>> 0;
    const opcode = chip.readUint16(pc);
    const cycles = accessWord(chip, opcode, pc, onPeripheral);
    if (cycles !== null) return cycles;
    if (isArithmeticToMend(opcode)) {
      steps.execute(opcode);
      core.PC = pc + INSTRUCTION_BYTES;
      return CYCLES;
    }
    if ((opcode & ~0xf) === MSR && chip.readUint16(pc + INSTRUCTION_BYTES) === MSR_PRIMASK) {
      core.PM = ((core.registers[opcode & 0xf] ?? 0) & 1) !== 0;
      core.interruptsUpdated ||= isCalled(chip);
      core.PC = pc + 2 * INSTRUCTION_BYTES;
      return MSR_CYCLES;
    }
    if (opcode === BLX_LR) {
      const target = core.LR;
      core.LR = (pc + INSTRUCTION_BYTES) | 1;
      core.PC = target & ~1;
      return BLX_CYCLES;
    }
    return interpret();
  };
}

/**
 * A pending, enabled interrupt ends WFI even with PRIMASK set, and then waits until PRIMASK is clear
 * (B1.5.19); the emulator would take it at once.
 */
export function mendInterrupts({ core }: RP2040): void {
  core.setInterrupt = (irq, active) => {
    const bit = 1 << irq;
    if (!active) {
      core.pendingInterrupts &= ~bit;
      return;
    }
    core.pendingInterrupts |= bit;
    core.interruptsUpdated = true;
    if ((core.pendingInterrupts & core.enabledInterrupts) !== 0) core.waiting = false;
  };
}

const SYST_RVR = 0x14;
const SYST_CVR = 0x18;

/** A store to SysTick's count begins a whole period (B3.3.5); the emulator would take it for one that is over. */
export function mendSysTick({ ppb }: RP2040): void {
  const write = ppb.writeUint32.bind(ppb);
  ppb.writeUint32 = (offset, value) => {
    if (offset === SYST_CVR) ppb.systickTimer.set(ppb.readUint32(SYST_RVR));
    else write(offset, value);
  };
}
