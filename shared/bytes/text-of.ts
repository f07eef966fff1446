/** Characters of one call: engines limit a call's arguments by their stack. */
const WINDOW = 4096;

/** Text of code units below 256. */
export function textOf(units: Uint8Array): string {
  const pieces: string[] = [];
  for (let from = 0; from < units.length; from += WINDOW) {
    pieces.push(String.fromCharCode(...units.subarray(from, from + WINDOW)));
  }
  return pieces.join('');
}
