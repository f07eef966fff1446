/** What every page, and every drawing in one, is held to. */
import fc from 'fast-check';
import { expect } from 'vitest';
import type { Stretch } from '../../cli/report/plot/model';
import { holds } from '../properties';
import { unbalanced } from './made-report';

/** `draw` has no place that is no number, whatever stretch of `whole` it shows, px wide. */
export function expectSoundAnywhere(
  whole: Stretch,
  draw: (from: number, to: number, widthPx: number) => string,
): void {
  holds(
    fc.property(
      fc.integer({ min: Math.ceil(whole.from), max: Math.floor(whole.to) - 1 }),
      fc.integer({ min: 1, max: Math.ceil(whole.to) }),
      fc.integer({ min: 300, max: 1_200 }),
      (from, length, widthPx) => {
        const text = draw(from, from + length, widthPx);
        expect(text).not.toMatch(/NaN|Infinity|undefined/);
        expect(text).not.toMatch(/(width|height)="-/);
        expect(unbalanced(text)).toEqual([]);
      },
    ),
    { numRuns: 40 },
  );
}

/** Each place of a page is there once, and its links lead to none that is not there. */
export function expectPlacesOnce(page: string): void {
  const bare = page.replace(/<script>[\s\S]*?<\/script>/, '');
  const ids = [...bare.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
  expect(ids.length).toBeGreaterThan(0);
  expect(new Set(ids).size).toBe(ids.length);
  for (const [, id] of bare.matchAll(/ (?:href="#|aria-labelledby=")([^"]+)"/g))
    expect(ids).toContain(id);
}
