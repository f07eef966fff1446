/** Which instructions become one run: those that lead to each other and were executed, around where it is wanted. */
import { ALL_FLAGS, Code } from './code';
import type { Instruction } from './instruction';

/** Most instructions of a run: also how late an interrupt can come. */
const INSTRUCTIONS_MAX = 128;
/** Ways in beside the first: where calls come back to. */
const ENTRIES_MAX = 64;

/** What is known of a program. */
export interface Program {
  /** The instruction at this address; null where it is not translated. */
  at(pc: number): Instruction | null;
  /** How often it has been executed so far, roughly. */
  heat(pc: number): number;
  /** The instruction there has been executed at a peripheral. */
  isAtPeripheral(pc: number): boolean;
  /** A run is entered there already. */
  isEntered(pc: number): boolean;
}

export interface Region {
  /** Addresses at which it is entered, the one where it was wanted first. */
  readonly entries: readonly number[];
  /** Addresses of its instructions. */
  readonly places: readonly number[];
  readonly code: Uint8Array;
}

/** Instructions one after the other, of which only the first is led to from elsewhere. */
interface Block {
  readonly start: number;
  readonly steps: readonly (readonly [pc: number, step: Instruction])[];
  /** Address of what follows; null where the last of them leaves. */
  readonly next: number | null;
}

/** The run that is entered at `start`; null where the instruction there is not translated. */
export function regionAt(start: number, program: Program): Region | null {
  const { steps, starts, entries } = explore(start, program);
  if (steps.size === 0) return null;
  const blocks = inOrder(start, steps, starts);
  const code = new Code(
    blocks.map((block) => block.start),
    entries,
  );
  const flags = neededFlags(blocks);
  blocks.forEach((block, b) => {
    code.begin(leadsTo(block, block.start));
    block.steps.forEach(([pc, step], i) => {
      code.at(pc, program.isAtPeripheral(pc));
      step.emit(code, flags[b]?.[i] ?? ALL_FLAGS);
      code.took(step.cycles);
    });
    code.end(block.next);
  });
  return { entries, places: [...steps.keys()], code: code.toWasm() };
}

interface Explored {
  readonly steps: ReadonlyMap<number, Instruction>;
  readonly starts: ReadonlySet<number>;
  readonly entries: readonly number[];
}

/** Goes along what was executed, the ways taken more often first. */
function explore(start: number, program: Program): Explored {
  const steps = new Map<number, Instruction>();
  const starts = new Set([start]);
  const entries = [start];
  const ahead = [start];
  // A block begins there if the run gets to it at all, by this way or another: else blocks could go round for ever.
  const later = (pc: number, isTaken: boolean): void => {
    starts.add(pc);
    if (isTaken) ahead.push(pc);
  };
  for (let from = ahead.shift(); from !== undefined; from = ahead.shift()) {
    let pc: number | null = from;
    while (pc !== null) {
      if (steps.has(pc)) {
        starts.add(pc);
        break;
      }
      const step: Instruction | null = steps.size < INSTRUCTIONS_MAX ? program.at(pc) : null;
      if (step === null) break;
      steps.set(pc, step);
      const { next, other, back }: Instruction = step;
      if (back !== null && entries.length < ENTRIES_MAX && program.heat(back) > 0) {
        entries.push(back);
        later(back, true);
      }
      pc = next;
      if (back !== null && next !== null && program.isEntered(next)) {
        later(next, false);
        break;
      }
      if (other === null || next === null) continue;
      const isLikely = program.heat(other) > program.heat(next);
      const rarer = isLikely ? next : other;
      later(rarer, program.heat(rarer) > 0);
      if (!isLikely) continue;
      starts.add(other);
      pc = other;
    }
  }
  const isThere = (pc: number): boolean => steps.has(pc);
  return { steps, starts: new Set([...starts].filter(isThere)), entries: entries.filter(isThere) };
}

/** Blocks from which ways lead forwards, but for loops; what comes next mostly stands next. */
function inOrder(
  start: number,
  steps: ReadonlyMap<number, Instruction>,
  starts: ReadonlySet<number>,
): Block[] {
  const seen = new Set<number>();
  const ordered: Block[] = [];
  const visit = (from: number): void => {
    if (seen.has(from) || !starts.has(from)) return;
    seen.add(from);
    const block = blockAt(from, steps, starts);
    for (const [, { other, back }] of block.steps) {
      if (back !== null) visit(back);
      if (other !== null) visit(other);
    }
    if (block.next !== null) visit(block.next);
    ordered.push(block);
  };
  visit(start);
  return ordered.reverse();
}

function blockAt(
  start: number,
  steps: ReadonlyMap<number, Instruction>,
  starts: ReadonlySet<number>,
): Block {
  const own: [number, Instruction][] = [];
  let pc: number | null = start;
  do {
    const step = steps.get(pc);
    if (step === undefined) break;
    own.push([pc, step]);
    pc = step.next;
  } while (pc !== null && !starts.has(pc));
  return { start, steps: own, next: pc };
}

const leadsTo = ({ steps, next }: Block, start: number): boolean =>
  next === start || steps.some(([, { other }]) => other === start);

/** Flags of each step of each block that are read before they are set again. */
function neededFlags(blocks: readonly Block[]): number[][] {
  // Where it is not known yet, backwards, all of them are; and so they are behind the run.
  const liveAt = new Map<number, number>();
  const live = (pc: number | null): number => (pc === null ? 0 : (liveAt.get(pc) ?? ALL_FLAGS));
  return [...blocks]
    .reverse()
    .map((block) => {
      let alive = block.next === null ? ALL_FLAGS : live(block.next);
      const needed = [...block.steps].reverse().map(([, step]) => {
        alive |= live(step.other);
        if (step.leaves) alive = ALL_FLAGS;
        const now = step.writes & alive;
        alive = (alive & ~step.writes) | step.reads;
        return now;
      });
      liveAt.set(block.start, alive);
      return needed.reverse();
    })
    .reverse();
}
