import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { LOADS_SENSE, PINS } from '../../shared/board/map';
import { PROBES } from '../../shared/board/probes';

/** All pins in `text`, written as `GP0` or `GP16 to GP20`. */
function pinsIn(text: string): number[] {
  return [...text.matchAll(/GP(\d+)(?: to GP(\d+))?/g)].flatMap(([, from, to = from]) => {
    const first = Number(from);
    return Array.from({ length: Number(to) - first + 1 }, (_, i) => first + i);
  });
}

describe('the board that the README says to buy', () => {
  it('has every pin that the firmware uses, and need not have any other', () => {
    const said = /\*\*What to buy\*\*[\s\S]*?on its pins\./.exec(
      readFileSync('README.md', 'utf8'),
    )?.[0];
    const used = [
      ...Object.values(PINS),
      ...Object.values(PROBES).map(({ gpio }) => gpio),
      LOADS_SENSE.gpio,
    ];
    expect(pinsIn(said ?? '').sort((a, b) => a - b)).toEqual(used.sort((a, b) => a - b));
  });
});
