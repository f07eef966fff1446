/** Characters of one call: engines limit a call's arguments by their stack. */
const WINDOW = 4096;

/** Text of code units below 256. */
export function textOf(units: Uint8Array): string {
  const pieces: string[] = [];
  for (let from = 0; from < units.length; from += WINDOW) {
    // Applied: spread, an engine goes through the bytes one by one. Sound: `apply` takes whatever has a length.
    const window = units.subarray(from, from + WINDOW) as unknown as number[];
    pieces.push(String.fromCharCode.apply(null, window));
  }
  return pieces.join('');
}
