/**
 * The cache through which flash is read and executed (RP2040 data sheet 2.6.3): 16 KB in two ways, lines of 8 bytes, of
 * which a miss reads the one word that is wanted (an upper and a lower valid bit, as the chip's makers say in
 * raspberrypi/pico-feedback, issue 307). A hit costs nothing, a miss one read of the serial flash. Which of two lines
 * gives way is not documented: here the one not used for longer. What was written to flash behind its back is not seen
 * before a flush.
 */

const WAYS = 2;
const LINE_SHIFT = 3;
const WORD_SHIFT = 2;
const LINE_BYTES = 1 << LINE_SHIFT;
const WORD_BYTES = 1 << WORD_SHIFT;
const SETS = (16 * 1024) / WAYS / LINE_BYTES;
const WORDS_IN_LINE = LINE_BYTES / WORD_BYTES;
const NONE = -1;

/**
 * Cycles of the serial clock for a word, all on four lines: 24 bits of address and 8 of mode, wait, 32 bits of data. No
 * command: continuous read (`boot2.S`; W25Q16JV data sheet, section 8, Fast Read Quad I/O). The serial interface cannot
 * read two words at once.
 */
const SERIAL_CYCLES = 8 + 4 + 8;
/**
 * Cycles of the processor that a miss takes besides: chip select, sampling delay and the way through bus and FIFOs.
 * Assumed: 400 ns for a word with a divider of 2, as is told of a board at 125 MHz, would be 10.
 */
const BESIDE_CYCLES = 15;
/** The tags are cleared one set after the other (data sheet 2.6.3.2). */
const FLUSH_CYCLES = SETS;

export class XipCache {
  /** Words read from flash. */
  misses = 0;
  /** Cycles of the processor for one of them; the boot stage sets the divider of the serial clock. */
  private missCycles = 0;
  private waitedCycles = 0;
  /** Number of the line in each way of each set. */
  private readonly lines = new Int32Array(SETS * WAYS).fill(NONE);
  /** Which of its words are there, as bits. */
  private readonly valid = new Uint8Array(SETS * WAYS);
  private readonly words = new Uint32Array(SETS * WAYS * WORDS_IN_LINE);
  /** The way of each set that was used last. */
  private readonly recent = new Uint8Array(SETS);

  private readonly flash: Uint32Array;

  /** `flash`: its bytes as they are at any time. */
  constructor({ buffer, byteOffset, length }: Uint8Array) {
    this.flash = new Uint32Array(buffer, byteOffset, length / WORD_BYTES);
  }

  /** The processor's clock divided by so much is the flash's. */
  set clockDivider(divider: number) {
    this.missCycles = SERIAL_CYCLES * divider + BESIDE_CYCLES;
  }

  /** The word at this offset, whole words, as the processor sees it. */
  word(offset: number): number {
    const line = offset >>> LINE_SHIFT;
    const index = (offset >>> WORD_SHIFT) & (WORDS_IN_LINE - 1);
    const slot = this.slotOf(line);
    const at = slot * WORDS_IN_LINE + index;
    if (((this.valid[slot] ?? 0) & (1 << index)) === 0) {
      this.words[at] = this.flash[line * WORDS_IN_LINE + index] ?? 0;
      this.valid[slot] = (this.valid[slot] ?? 0) | (1 << index);
      this.misses += 1;
      this.waitedCycles += this.missCycles;
    }
    return this.words[at] ?? 0;
  }

  /** Nothing is in it any more. */
  flush(): void {
    this.lines.fill(NONE);
    this.waitedCycles += FLUSH_CYCLES;
  }

  /** Cycles that the processor has waited since this was asked last. */
  takeWaitedCycles(): number {
    const waited = this.waitedCycles;
    this.waitedCycles = 0;
    return waited;
  }

  /** Where the line is, or has its place from now on. */
  private slotOf(line: number): number {
    const set = line & (SETS - 1);
    const recent = set * WAYS + (this.recent[set] ?? 0);
    if (this.lines[recent] === line) return recent;
    const other = recent ^ 1;
    this.recent[set] = other & 1;
    if (this.lines[other] !== line) {
      this.lines[other] = line;
      this.valid[other] = 0;
    }
    return other;
  }
}
