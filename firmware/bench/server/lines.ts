/** Splits a stream of bytes into lines of text. */

const NEWLINE = 0x0a;

/** Feeds `onLine` with each line that is not empty; calls `onTooLong` for one above `maxBytes`. */
export function lineReader(
  maxBytes: number,
  onLine: (line: string) => void,
  onTooLong: () => void,
): (chunk: Buffer) => void {
  let rest = Buffer.alloc(0);
  return (chunk) => {
    rest = Buffer.concat([rest, chunk]);
    for (let end = rest.indexOf(NEWLINE); end >= 0; end = rest.indexOf(NEWLINE)) {
      const line = rest.toString('utf8', 0, end).trim();
      rest = rest.subarray(end + 1);
      if (end > maxBytes) onTooLong();
      else if (line !== '') onLine(line);
    }
    if (rest.length > maxBytes) {
      rest = Buffer.alloc(0);
      onTooLong();
    }
  };
}
