/** What the runtime of a running image measures about itself, and how full its memory is. */
import type { Chip } from '../bench/chip/chip';
import { addressOf, type Symbols } from './symbols';

/** The words of `struct figures`, in the order of `firmware/runtime/figures.h`: a test holds it against that. */
export const FIGURES = [
  'startUs',
  'ticks',
  'tickUs',
  'tickMaxUs',
  'collections',
  'liveSlots',
  'liveChunkBytes',
] as const;
export type Figures = Readonly<Record<(typeof FIGURES)[number], number>>;

/** A board that was just started has noise in its RAM until the runtime has cleared its variables. */
export function readFigures(chip: Chip, symbols: Symbols): Figures {
  const at = addressOf(symbols, 'figures');
  const words = FIGURES.map((name, i) => [name, chip.word(at + 4 * i)] as const);
  return Object.fromEntries(words) as Figures;
}

const SLOT_BYTES = 16;

/** The engine's arena: all of it, what was ever handed out, and what lived after the last collection. */
export function readArena(chip: Chip, symbols: Symbols) {
  const word = (name: string) => chip.word(addressOf(symbols, name));
  const bytes = addressOf(symbols, 'engine_memory_end') - word('libc_end');
  const { liveSlots, liveChunkBytes } = readFigures(chip, symbols);
  return {
    bytes,
    takenBytes: bytes - (word('slots_start') - word('chunks_end')),
    liveBytes: liveSlots * SLOT_BYTES + liveChunkBytes,
  };
}

/** As `firmware/runtime/stack.h` paints it. */
const STACK_PAINT = 0xa5a5a5a5;

/** How deep the C stack has been since the start, bytes. */
export function deepestStackBytes(chip: Chip, symbols: Symbols): number {
  const top = addressOf(symbols, 'stack_top');
  let untouched = addressOf(symbols, 'stack_bottom');
  while (untouched < top && chip.word(untouched) === STACK_PAINT) untouched += 4;
  return top - untouched;
}
