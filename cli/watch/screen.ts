/** A block of text that is drawn anew in place on a terminal. What stood above it stays. */

import { visibleWidth } from '../terminal/output';
import type { Sink } from '../terminal/streams';

/** Smallest terminal that is reckoned with when it does not say how large it is. */
const ROWS = 24;
const COLUMNS = 80;

export interface Screen {
  draw(text: string): void;
}

/** Rows a line takes: a terminal breaks what is wider than itself. */
function rowsOf(line: string, columns: number): number {
  return Math.max(1, Math.ceil(visibleWidth(line) / columns));
}

/** The lines from the top that fit into `rows`: what has scrolled away cannot be drawn over. */
function fitting(lines: readonly string[], columns: number, rows: number): readonly string[] {
  let left = rows;
  const end = lines.findIndex((line) => {
    left -= rowsOf(line, columns);
    return left < 0;
  });
  return end < 0 ? lines : lines.slice(0, end);
}

/** A screen on a terminal that understands ECMA-48. */
export function createScreen(sink: Sink): Screen {
  let drawn: readonly string[] = [];
  return {
    draw(text) {
      const columns = sink.columns ?? COLUMNS;
      // The terminal may have been made narrower since, and broken the old lines anew.
      const up = drawn.reduce((sum, line) => sum + rowsOf(line, columns), 0);
      // One row stays free for the cursor.
      drawn = fitting(text.split('\n'), columns, (sink.rows ?? ROWS) - 1);
      const back = up === 0 ? '' : `\x1b[${up}A\r\x1b[J`;
      sink.write(`${back}${drawn.join('\n')}\n`);
    },
  };
}
