/**
 * Makes the emulated processor fast enough for whole days: runs of instructions in flash that are
 * executed often become WebAssembly, which an engine compiles at once. What touches registers, RAM and flash is
 * done there, and where a peripheral was seen to be used, its registers are asked from there; before anything else - a
 * wrong or unaligned address, the end of an exception - a run stops, and the emulator's interpreter goes on with all its
 * strictness.
 */
import { FLASH_MAP, FLASH_START } from '../../../../shared/board/map';
import { ALL_FLAGS, Code, RUN_LOCALS } from './code';
import type { Instruction } from './instruction';
import { decode } from './instructions';
import { type Program, type Region, regionAt } from './region';
import { moduleOfRuns } from './wasm';

/** A run is translated when it has been wanted so often. */
const OFTEN = 30;
/** So many runs become a module; fewer do when something was wanted so often since the first of them. */
const MODULE_RUNS = 128;
const MODULE_WAITS = 2000;
/** Translations kept: tests make a few dozen images, one after the other. */
const KEPT = 2;
let kept: readonly Translation[] = [];

/** The translation of this image; the same one for every chip that has it. */
export function translationOf(flash: Uint8Array): Translation {
  const found =
    kept.find((translation) => translation.isOf(flash)) ??
    new Translation(flash.slice(0, FLASH_MAP.image.bytes), kept[0]);
  kept = [found, ...kept.filter((translation) => translation !== found)].slice(0, KEPT);
  return found;
}

/**
 * One instruction on registers and flags alone, wherever in the program it stands: the program counter
 * is the caller's to move. Throws for one that is not translated.
 */
export function translationOfOne(opcode: number): Uint8Array {
  const step = decode(opcode, 0, 0, { word: () => null });
  if (step === null) throw new RangeError(`no translation of ${opcode.toString(16)}`);
  const code = new Code([0], [0]);
  code.begin(false);
  step.emit(code, ALL_FLAGS);
  code.took(step.cycles);
  code.end(step.next);
  return code.toWasm();
}

/** A run that was translated: the places at which it is entered, and the end of what it was made from, in halfwords of the image. */
export interface Run {
  readonly entries: readonly number[];
  readonly end: number;
}

/** Runs that were translated together, by their numbers in the module. */
export interface RunModule {
  readonly module: WebAssembly.Module;
  readonly runs: readonly Run[];
}

export class Translation {
  /** In the order in which they were made: who executes them takes over what is new. */
  readonly modules: RunModule[] = [];
  /** The run that is entered at each halfword of the image: of several the first that was made. */
  readonly runAt = new Map<number, Run>();
  private readonly wanted: Uint8Array;
  /** Instructions that were executed at a peripheral. */
  private readonly atPeripheral: Uint8Array;
  private readonly halfwords: Uint16Array;
  private readonly words: Int32Array;
  /** How far the run that is being made has read, in halfwords of the image. */
  private readTo = 0;
  /** Runs that are in no module yet, and the places of their instructions, which are wanted for want of them. */
  private waiting: { readonly run: Run; readonly code: Uint8Array }[] = [];
  private readonly waitedFor: Uint8Array;
  private waits = 0;
  private readonly program: Program;

  /**
   * `image`: what is in flash from its start on and never changes, whole words. Images of one engine
   * begin alike: what `like` knows of the part that is the same is taken over.
   */
  constructor(image: Uint8Array, like?: Translation) {
    const halfwords = image.length / 2;
    this.halfwords = new Uint16Array(image.buffer, image.byteOffset, halfwords);
    this.words = new Int32Array(image.buffer, image.byteOffset, halfwords / 2);
    this.wanted = new Uint8Array(halfwords);
    this.waitedFor = new Uint8Array(halfwords);
    this.atPeripheral = new Uint8Array(halfwords);
    this.program = {
      at: (pc) => this.instruction(pc),
      heat: (pc) => this.wanted[placeOf(pc)] ?? 0,
      isAtPeripheral: (pc) => this.atPeripheral[placeOf(pc)] === 1,
      isEntered: (pc) => this.runAt.has(placeOf(pc)),
    };
    if (like !== undefined) this.takeOver(like);
  }

  /** This is the image that flash begins with; `flash` begins at a whole word of its buffer. */
  isOf(flash: Uint8Array): boolean {
    const { words } = this;
    const there = new Int32Array(flash.buffer, flash.byteOffset, words.length);
    for (let i = 0; i < words.length; i += 1) if (words[i] !== there[i]) return false;
    return true;
  }

  /** The run at `pc` is wanted, and there is none: one that is wanted often will be there soon. */
  want(pc: number): void {
    const place = placeOf(pc);
    if (place >= this.halfwords.length) return;
    if (this.waiting.length > 0 && ++this.waits >= MODULE_WAITS) this.makeModule();
    const wanted = this.wanted[place] ?? 0;
    // After the attempt the count stays one above, whether there is a run or none.
    if (wanted > OFTEN || this.waitedFor[place] !== 0) return;
    this.wanted[place] = wanted + 1;
    if (wanted < OFTEN) return;
    this.readTo = 0;
    const made = regionAt(pcOf(place), this.program);
    if (made === null) return;
    this.wait(made);
    if (this.waiting.length >= MODULE_RUNS) this.makeModule();
  }

  /** The instruction at `pc` has been executed at a peripheral. */
  noteAtPeripheral(pc: number): void {
    const place = placeOf(pc);
    if (place < this.halfwords.length) this.atPeripheral[place] = 1;
  }

  /** What waits becomes a module now. */
  makeModule(): void {
    this.waits = 0;
    if (this.waiting.length === 0) return;
    const codes = this.waiting.map(({ code }) => code);
    const runs = this.waiting.map(({ run }) => run);
    const module = new WebAssembly.Module(moduleOfRuns(codes, RUN_LOCALS));
    this.modules.push({ module, runs });
    this.waiting = [];
    this.waitedFor.fill(0);
  }

  private wait({ entries, places, code }: Region): void {
    const run = { entries: entries.map(placeOf), end: this.readTo };
    this.waiting.push({ run, code });
    this.enter(run);
    for (const pc of places) this.waitedFor[placeOf(pc)] = 1;
  }

  /** Places that have a run already keep it. */
  private enter(run: Run): void {
    for (const place of run.entries) {
      if (this.runAt.has(place)) continue;
      this.runAt.set(place, run);
      this.wanted[place] = OFTEN + 1;
    }
  }

  private takeOver({ halfwords, wanted, atPeripheral, modules, runAt }: Translation): void {
    const differs = this.halfwords.findIndex((halfword, index) => halfword !== halfwords[index]);
    const alike = differs < 0 ? this.halfwords.length : differs;
    // One that reaches beyond, or was not ready, is made again: it is known to be wanted.
    for (let place = 0; place < alike; place += 1) {
      this.wanted[place] = Math.min(wanted[place] ?? 0, OFTEN);
      this.atPeripheral[place] = atPeripheral[place] ?? 0;
    }
    for (const { module, runs } of modules) {
      const isUseful = (run: Run): boolean =>
        run.end <= alike && run.entries.some((place) => runAt.get(place) === run);
      if (!runs.some(isUseful)) continue;
      this.modules.push({ module, runs });
      for (const run of runs) if (isUseful(run)) this.enter(run);
    }
  }

  private instruction(pc: number): Instruction | null {
    const index = placeOf(pc);
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
    });
  }
}

/** Place of an address in halfwords of the image, and back. */
const placeOf = (pc: number): number => (pc - FLASH_START) >>> 1;
const pcOf = (place: number): number => FLASH_START + 2 * place;
