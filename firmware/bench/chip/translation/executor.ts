/** Executes an image's translated runs in the memory of one chip. */
import { FLASH_START } from '../../../../shared/board/map';
import { PC, RUN_LOCALS } from './code';
import { COUNT_SHIFT, CYCLES_MASK } from './flow';
import { AT, type ChipMemory, IMAGE_HALFWORDS, LONGEST_RUN_CYCLES, WORD_BYTES } from './memory';
import { type Translation, translationOf, translationOfOne } from './translation';
import {
  and,
  atLeast,
  BLOCK,
  callInTable,
  choose,
  END,
  flat,
  getLocal,
  goIf,
  int,
  isZero,
  LOOP,
  less,
  load,
  minus,
  moduleOfExecute,
  moduleOfRuns,
  plus,
  setLocal,
  shiftLeft,
  shiftRight,
  store,
  type Wasm,
} from './wasm';

const ZERO = int(0);
/** The parameter, and locals. */
const [LIMIT, CYCLES, COUNT, RUN, DONE, LEFT] = [0, 1, 2, 3, 4, 5];
const EXECUTE_LOCALS = 5;
const LONGEST = int(LONGEST_RUN_CYCLES);
/** A run stands in the memory by its place in the table, from 1 on, and below that how it is entered. */
const ENTRY_BITS = 8;
const ENTRY_MASK = (1 << ENTRY_BITS) - 1;

/** Goes from run to run, up to `limit` cycles: until there is none, or one does nothing. */
const EXECUTE: Wasm = [
  store(4, ZERO, AT.limit, getLocal(LIMIT)),
  BLOCK,
  LOOP,
  setLocal(RUN, minus(load(4, ZERO, AT.registers + WORD_BYTES * PC), int(FLASH_START))),
  setLocal(RUN, shiftRight(getLocal(RUN), int(1))),
  goIf(atLeast(getLocal(RUN), int(IMAGE_HALFWORDS)), 1),
  setLocal(RUN, load(4, shiftLeft(getLocal(RUN), int(2)), AT.runs)),
  goIf(isZero(getLocal(RUN)), 1),
  setLocal(LEFT, minus(load(4, ZERO, AT.limit), getLocal(CYCLES))),
  store(4, ZERO, AT.cycles, getLocal(CYCLES)),
  store(4, ZERO, AT.left, choose(less(getLocal(LEFT), LONGEST), getLocal(LEFT), LONGEST)),
  setLocal(
    DONE,
    callInTable(shiftRight(getLocal(RUN), int(ENTRY_BITS)), and(getLocal(RUN), int(ENTRY_MASK))),
  ),
  goIf(less(getLocal(DONE), int(1 << COUNT_SHIFT)), 1),
  setLocal(CYCLES, plus(getLocal(CYCLES), and(getLocal(DONE), int(CYCLES_MASK)))),
  setLocal(COUNT, plus(getLocal(COUNT), shiftRight(getLocal(DONE), int(COUNT_SHIFT)))),
  goIf(less(getLocal(CYCLES), load(4, ZERO, AT.limit)), 0),
  END,
  END,
  store(4, ZERO, AT.cycles, getLocal(CYCLES)),
  store(4, ZERO, AT.count, getLocal(COUNT)),
];

/** A table grows by so many runs: growing moves all that is in it. */
const TABLE_STEP = 4096;
type Imports = { readonly chip: Readonly<Record<string, unknown>> };
type Exported = (...values: readonly number[]) => unknown;
let executeModule: WebAssembly.Module | null = null;

/** What executes the image in the flash of `memory`: the same as `before`, where that is the same image. */
export function executorOf(memory: ChipMemory, before: Executor | null): Executor {
  const translation = translationOf(memory.flash);
  return before?.translation === translation ? before : new Executor(memory, translation);
}

/**
 * What translated code has for peripherals: `cycles` of this run so far. Each gives the cycles that the instruction takes;
 * 0, and does nothing, where it is the interpreter's. What is loaded is left in the memory.
 */
export interface Peripherals {
  load(address: number, cycles: number): number;
  store(address: number, value: number, cycles: number): number;
}
const NONE: Peripherals = { load: () => 0, store: () => 0 };

/** The one that executes in `memory` from then on. */
export class Executor {
  peripherals: Peripherals = NONE;
  private readonly table = new WebAssembly.Table({ initial: TABLE_STEP, element: 'anyfunc' });
  private readonly enter: Exported;
  private modulesTaken = 0;
  /** Their places in the table, from 1 on. */
  private runsTaken = 0;

  constructor(
    readonly memory: ChipMemory,
    readonly translation: Translation,
  ) {
    executeModule ??= new WebAssembly.Module(moduleOfExecute(flat(EXECUTE), EXECUTE_LOCALS));
    const imports = { chip: { memory: memory.shared, runs: this.table } };
    this.enter = functionOf(executeModule, 'execute', imports);
    memory.runs.fill(0);
  }

  /** Executes runs from the program counter on, at least one if there is one, until they took `limit` cycles. */
  execute(limit: number): void {
    if (this.translation.modules.length > this.modulesTaken) this.takeOver();
    this.enter(limit);
  }

  private takeOver(): void {
    const { table, memory, translation } = this;
    const imports = {
      chip: {
        memory: memory.shared,
        load: (address: number, cycles: number) => this.peripherals.load(address >>> 0, cycles),
        store: (address: number, value: number, cycles: number) =>
          this.peripherals.store(address >>> 0, value, cycles),
      },
    };
    for (const { module, runs } of translation.modules.slice(this.modulesTaken)) {
      const { exports } = new WebAssembly.Instance(module, imports);
      runs.forEach((run, i) => {
        // Of another image that is the same up to somewhere, only what lies before that is taken over.
        if (!run.entries.some((place) => translation.runAt.get(place) === run)) return;
        this.runsTaken += 1;
        if (this.runsTaken >= table.length) table.grow(TABLE_STEP);
        table.set(this.runsTaken, runIn(exports, i));
        run.entries.forEach((place, entry) => {
          if (translation.runAt.get(place) !== run) return;
          memory.runs[place] = (this.runsTaken << ENTRY_BITS) | entry;
        });
      });
    }
    this.modulesTaken = translation.modules.length;
  }
}

const singleModules = new Map<number, WebAssembly.Module>();

/** Does single instructions on registers and flags of one chip. */
export class SingleSteps {
  private readonly steps = new Map<number, Exported>();

  constructor(private readonly memory: ChipMemory) {}

  /** Does one; the program counter is the caller's to move. Throws for one that is not translated. */
  execute(opcode: number): void {
    let step = this.steps.get(opcode);
    if (step === undefined) {
      step = this.stepOf(opcode);
      this.steps.set(opcode, step);
    }
    step(0);
  }

  private stepOf(opcode: number): Exported {
    const module =
      singleModules.get(opcode) ??
      new WebAssembly.Module(moduleOfRuns([translationOfOne(opcode)], RUN_LOCALS));
    singleModules.set(opcode, module);
    return functionOf(module, '0', { chip: { memory: this.memory.shared, ...NONE } });
  }
}

const runIn = (exports: WebAssembly.Instance['exports'], i: number) =>
  exportedAs(exports, String(i));

const functionOf = (module: WebAssembly.Module, name: string, imports: Imports): Exported =>
  exportedAs(new WebAssembly.Instance(module, imports).exports, name);

function exportedAs(exports: WebAssembly.Instance['exports'], name: string) {
  const found = exports[name];
  if (found === undefined) throw new Error(`a module without its function ${name}`);
  return found;
}
