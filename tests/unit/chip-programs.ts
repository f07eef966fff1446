/** Random programs for the emulated processor: what computes, and what branches, calls and returns. */
import fc from 'fast-check';
import { RAM_START as RAM } from '../../firmware/bench/chip/address-map';
import { WORDS } from './two-processors';

const word = fc.oneof(
  fc.integer({ min: -2, max: 300 }),
  fc.integer({ min: -0x80000000, max: 0x7fffffff }),
  fc.constantFrom(...WORDS.odd, ...WORDS.atEdges),
  fc.nat(0x2000).map((n) => WORDS.inRam + 4 * n),
  fc.nat(0x200).map((n) => WORDS.inFlash + 4 * n),
);
/** A state of the processor before it executes something. */
export const state = fc.record({
  registers: fc
    .tuple(fc.array(word, { minLength: 13, maxLength: 13 }), word)
    .map(([lows, link]) => [...lows, RAM + 0x10000, link]),
  flags: fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }),
});
export const opcode = fc.oneof(fc.nat(0xffff), fc.integer({ min: 0x4000, max: 0x47ff }));

/** A program's instruction by its place, of `length`, and how often it was executed before the program is translated. */
type Part = (place: number, length: number) => readonly number[];
/** Distance of a branch in halfwords: the program counter reads as two further. */
const ahead = (place: number, to: number, length: number): number => (to % length) - place - 2;
const computing = fc.oneof(fc.nat(0x43ff), fc.integer({ min: 0x5000, max: 0x9fff })).map(
  (code): Part =>
    () => [code],
);
const branching = fc.oneof(
  fc.tuple(fc.nat(13), fc.nat()).map(
    ([condition, to]): Part =>
      (place, length) => [0xd000 | (condition << 8) | (ahead(place, to, length) & 0xff)],
  ),
  fc.nat().map(
    (to): Part =>
      (place, length) => [0xe000 | (ahead(place, to, length) & 0x7ff)],
  ),
  fc.nat().map(
    (to): Part =>
      (place, length) => {
        const distance = ahead(place, to, length);
        return [0xf000 | ((distance >> 11) & 0x7ff), 0xf800 | (distance & 0x7ff)];
      },
  ),
  fc.constant<Part>(() => [0x4770]),
);
/** A program, of its parts and how often each was executed before. */
export const parts = fc.array(
  fc.tuple(fc.oneof({ weight: 3, arbitrary: computing }, branching), fc.nat(3)),
  { minLength: 2, maxLength: 40 },
);

/** Its opcodes, and how often each was executed before. */
export function laidOut(program: readonly (readonly [Part, number])[]) {
  const opcodes: number[] = [];
  const times: number[] = [];
  for (const [part, often] of program) {
    const made = part(opcodes.length, program.length);
    opcodes.push(...made);
    times.push(...made.map(() => often));
  }
  return { opcodes, times };
}
