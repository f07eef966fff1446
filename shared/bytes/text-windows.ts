/**
 * Text in small windows. The chip's engine stores strings as bytes: reaching character n costs n
 * steps, and `+=` copies the whole string. Windows keep long texts linear instead of quadratic.
 */

const READ_WINDOW = 64;
/** Also the number of arguments of one call: the chip's stack is small. */
const WRITE_WINDOW = 32;

/** Calls `visit` with each UTF-16 code unit of `text`, in order, until it returns false. */
export function eachCodeUnit(text: string, visit: (unit: number) => boolean): boolean {
  const units = text.length;
  for (let from = 0; from < units; from += READ_WINDOW) {
    const piece = text.slice(from, from + READ_WINDOW);
    const count = Math.min(READ_WINDOW, units - from);
    for (let i = 0; i < count; i++) {
      if (!visit(piece.charCodeAt(i))) return false;
    }
  }
  return true;
}

/** Gathers UTF-16 code units into one string. */
export class TextGatherer {
  private readonly pieces: string[] = [];
  private units: number[] = [];

  push(unit: number): void {
    this.units.push(unit);
    if (this.units.length === WRITE_WINDOW) this.flush();
  }

  text(): string {
    this.flush();
    return this.pieces.join('');
  }

  private flush(): void {
    if (this.units.length === 0) return;
    this.pieces.push(String.fromCharCode.apply(null, this.units));
    this.units = [];
  }
}
