/**
 * Makes the emulated processor fast enough for whole days: runs of instructions in flash that are
 * executed often become WebAssembly, which an engine compiles at once. Only what touches registers, RAM and
 * flash does; before anything else - a peripheral, a wrong or unaligned address, the end of an exception - a run
 * stops, and the emulator's interpreter goes on with all its strictness.
 */
import { FLASH_MAP, FLASH_START } from '../../../../shared/board/map';
import { crc32 } from '../../../../shared/bytes';
import { ALL_FLAGS, Code, RUN_LOCALS } from './code';
import type { Instruction } from './instruction';
import { decode } from './instructions';
import { moduleOfRuns } from './wasm';

/** Longest run, instructions: also how late an interrupt can come. */
const RUN_MAX = 48;
/** A run is translated when it has been wanted so often. */
const OFTEN = 30;
/** So many runs become a module; fewer do when something was wanted so often since the first of them. */
const MODULE_RUNS = 128;
const MODULE_WAITS = 2000;
/** Translations kept: tests make a few dozen images, one after the other. */
const KEPT = 2;
const kept = new Map<number, Translation>();

/** The translation of this image; the same one for every chip that has it. */
export function translationOf(flash: Uint8Array): Translation {
  const image = flash.slice(0, FLASH_MAP.image.bytes);
  const key = crc32(image);
  const found = kept.get(key) ?? new Translation(image, [...kept.values()].at(-1));
  kept.delete(key);
  kept.set(key, found);
  for (const old of kept.keys()) if (kept.size > KEPT) kept.delete(old);
  return found;
}

/**
 * One instruction on registers and flags alone, wherever in the program it stands: the program counter
 * is the caller's to move. Throws for one that is not translated.
 */
export function translationOfOne(opcode: number): Uint8Array {
  const step = decode(opcode, 0, 0, { word: () => null, heat: () => 0 });
  if (step === null) throw new RangeError(`no translation of ${opcode.toString(16)}`);
  const code = new Code(0);
  step.emit(code, ALL_FLAGS);
  code.took(step.cycles);
  code.stop();
  return code.toWasm();
}

/** Runs that were translated together. */
export interface RunModule {
  readonly module: WebAssembly.Module;
  /** Numbers of its runs, and the place of each in halfwords of the image. */
  readonly first: number;
  readonly places: readonly number[];
}

export class Translation {
  /** In the order in which they were made: who executes them takes over what is new. */
  readonly modules: RunModule[] = [];
  /** Number of the run that begins at each halfword of the image; 0 without one. No other run ever has it. */
  readonly runs: Uint32Array;
  private readonly wanted: Uint8Array;
  /** Of each run, the end of what it was made from, in halfwords of the image. */
  private readonly ends: Uint32Array;
  private readonly halfwords: Uint16Array;
  private readonly words: Int32Array;
  /** How far the run that is being made has read, in halfwords of the image. */
  private readTo = 0;
  /** Runs that are in no module yet, by their place. */
  private readonly waiting = new Map<number, Uint8Array>();
  private waits = 0;
  private nextRun = 1;

  /**
   * `image`: what is in flash from its start on and never changes, whole words. Images of one engine
   * begin alike: what `like` knows of the part that is the same is taken over.
   */
  constructor(image: Uint8Array, like?: Translation) {
    const halfwords = image.length / 2;
    this.halfwords = new Uint16Array(image.buffer, image.byteOffset, halfwords);
    this.words = new Int32Array(image.buffer, image.byteOffset, halfwords / 2);
    this.runs = new Uint32Array(halfwords);
    this.wanted = new Uint8Array(halfwords);
    this.ends = new Uint32Array(halfwords);
    if (like !== undefined) this.takeOver(like);
  }

  /** The run at `pc` is wanted, and there is none: one that is wanted often will be there soon. */
  want(pc: number): void {
    const index = (pc - FLASH_START) >>> 1;
    if (index >= this.halfwords.length) return;
    if (this.waiting.size > 0 && ++this.waits >= MODULE_WAITS) this.makeModule();
    const wanted = this.wanted[index] ?? 0;
    // After the attempt the count stays one above, whether there is a run or none.
    if (wanted > OFTEN) return;
    this.wanted[index] = wanted + 1;
    if (wanted < OFTEN) return;
    const made = this.translate(FLASH_START + 2 * index);
    if (made === null) return;
    this.waiting.set(index, made);
    if (this.waiting.size >= MODULE_RUNS) this.makeModule();
  }

  /** What waits becomes a module now. */
  makeModule(): void {
    this.waits = 0;
    if (this.waiting.size === 0) return;
    const first = this.nextRun;
    const places = [...this.waiting.keys()];
    const bytes = moduleOfRuns([...this.waiting.values()], RUN_LOCALS);
    this.modules.push({ module: new WebAssembly.Module(bytes), first, places });
    places.forEach((place, i) => {
      this.runs[place] = first + i;
    });
    this.nextRun += places.length;
    this.waiting.clear();
  }

  private takeOver({ halfwords, runs, wanted, ends, modules, nextRun }: Translation): void {
    const differs = this.halfwords.findIndex((halfword, index) => halfword !== halfwords[index]);
    const alike = differs < 0 ? this.halfwords.length : differs;
    const useful = modules.filter(({ places }) =>
      places.some((place) => runs[place] !== 0 && (ends[place] ?? 0) <= alike),
    );
    this.modules.push(...useful);
    this.nextRun = nextRun;
    for (let index = 0; index < alike; index += 1) {
      const run = runs[index] ?? 0;
      const isAlike = run !== 0 && (ends[index] ?? 0) <= alike;
      // One that reaches beyond, or was not ready, is made again: it is known to be wanted.
      this.wanted[index] = Math.min(wanted[index] ?? 0, isAlike ? OFTEN + 1 : OFTEN);
      if (!isAlike) continue;
      this.runs[index] = run;
      this.ends[index] = ends[index] ?? 0;
    }
  }

  private translate(start: number): Uint8Array | null {
    const steps: Instruction[] = [];
    const code = new Code(start);
    const places: number[] = [];
    let pc: number | null = start;
    this.readTo = 0;
    while (pc !== null && steps.length < RUN_MAX && !places.includes(pc)) {
      const step = this.instruction(pc);
      if (step === null) break;
      places.push(pc);
      steps.push(step);
      pc = step.next;
    }
    if (steps.length === 0) return null;
    const needed = neededFlags(steps);
    steps.forEach((step, index) => {
      code.at(places[index] ?? 0);
      step.emit(code, needed[index] ?? ALL_FLAGS);
      code.took(step.cycles);
    });
    if (pc !== null) {
      code.at(pc);
      if (pc === start) code.again();
      else code.stop();
    }
    this.ends[(start - FLASH_START) >>> 1] = this.readTo;
    return code.toWasm();
  }

  private instruction(pc: number): Instruction | null {
    const index = (pc - FLASH_START) >>> 1;
    if (index + 1 >= this.halfwords.length) return null;
    const opcode = this.halfwords[index] ?? 0;
    const second = this.halfwords[index + 1] ?? 0;
    this.readTo = Math.max(this.readTo, index + 2);
    return decode(opcode, second, pc, {
      word: (address) => {
        const word = (address - FLASH_START) >>> 2;
        this.readTo = Math.max(this.readTo, 2 * word + 2);
        return this.words[word] ?? null;
      },
      heat: (address) => this.wanted[(address - FLASH_START) >>> 1] ?? 0,
    });
  }
}

/** Flags of each step that are read before they are set again. */
function neededFlags(steps: readonly Instruction[]): number[] {
  const needed: number[] = [];
  let live = ALL_FLAGS;
  for (const step of [...steps].reverse()) {
    if (step.leaves) live = ALL_FLAGS;
    needed.push(step.writes & live);
    live = (live & ~step.writes) | step.reads;
  }
  return needed.reverse();
}
