/** Programs that work on bytes with what the runtime does in C. */
import { FRESH_SEED, SEEDS } from '../../properties';
import { type Misdeed, type Misdeeds, saying } from '../misdeed';

/** Of both seeds together. */
export const CASES = 40;

export const NATIVE_IMPORTS = "import { bytesReport } from '../../../tests/image/bytes-report';";
const reportOf = (seed: number) => `...bytesReport(${seed}, ${CASES / SEEDS.length})`;
const REPORTS: Misdeed = {
  start: `const lines = [${SEEDS.map(reportOf).join()}];`,
  tick: 'say(lines[ticks - 1] ?? "end");',
};

// Buffers that live between ones that do not: each collection moves nearly all of them, also the one
// that the making of a text sets off in the middle of a byte loop.
const MOVES: Misdeed = {
  start: `
    const fresh = (i) => Uint8Array.from({ length: 240 }, (_, j) => 1 + (i * 31 + j * 7) % 127);
    const alive = Array.from({ length: 24 }, (_, i) => fresh(i));
    const sums = alive.map((bytes) => native.crc32(bytes, 0, 240, 0));
    const back = new Uint8Array(240);
    const back64 = new Uint8Array(320);
    const sum64 = (bytes) => {
      native.putAscii(native.toBase64(bytes, 0, 240), back64);
      return native.crc32(back64, 0, 320, 0);
    };
    const sums64 = alive.map(sum64);
    let drawn = ${FRESH_SEED};
    const isSame = (i) => native.crc32(back, 0, 240, 0) === sums[i];`,
  tick: `
    let wrong = 0;
    for (let i = 0; i < alive.length; i++) {
      alive[i] = fresh(i);
      for (let k = 0; k < 6; k++) {
        const other = (i + 4 * k) % alive.length;
        // Garbage of ever other lengths: collections come at all places of this loop, one after the other.
        drawn = (drawn * 69069 + 1) >>> 0;
        native.toBase64(alive[other], 0, drawn >>> 24);
        if (sum64(alive[other]) !== sums64[other]) wrong++;
        native.putAscii(native.asciiText(alive[other], 0, 240), back);
        if (!isSame(other)) wrong++;
      }
    }
    say(wrong);`,
};

export const MISTAKES = [
  'native.readU32(new Uint8Array(8), 0.5)',
  'native.readU16(new Uint8Array(8), -1)',
  'native.readU32(new Uint8Array(8), NaN)',
  'native.crc32(new Uint8Array(8), 0, 1.5, 0)',
  'native.writeU16(new Uint8Array(8), 0, "1")',
  'native.writeU32(new Uint8Array(8), 0)',
  'native.toBase64([1, 2, 3], 0, 3)',
  'native.readU16(new Uint16Array(8), 0)',
  'native.putAscii(12, new Uint8Array(8))',
  'board.flashProgram(0x180000)',
];

export const NATIVE = {
  reports: REPORTS,
  moves: MOVES,
  mistakes: saying(MISTAKES),
} as const satisfies Misdeeds;
