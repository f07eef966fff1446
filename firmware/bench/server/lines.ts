/** The lines of the bench door as text: no CRC, unlike the link's. */
import { createLineSplitter } from '../../../shared/link/framing';

/** Feeds `onLine` with each line that is not empty; calls `onTooLong` for one above `maxBytes`. */
export function lineReader(
  maxBytes: number,
  onLine: (line: string) => void,
  onTooLong: () => void,
): (chunk: Uint8Array) => void {
  return createLineSplitter(maxBytes, (bytes) => {
    if (bytes === null) return onTooLong();
    const line = Buffer.from(bytes).toString('utf8').trim();
    if (line !== '') onLine(line);
  });
}
