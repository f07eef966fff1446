import { describe, expect, it } from 'vitest';
import { MatWatch } from '../../firmware/guard/mat-watch';
import { readingsWith } from './readings';

const MINUTE_MS = 60_000;
const BAND = { lowC: 26, highC: 28 };

/** What is present after five hours of heat that leave the root zone at `rootC`. */
function presentAt(rootC: number): string[] {
  const watch = new MatWatch();
  const present = new Set<string>();
  for (let i = 1; i <= 300; i++) {
    const uptimeMs = i * MINUTE_MS;
    const readings = readingsWith({ rootZoneC: rootC, matC: rootC + 6, uptimeMs });
    const wish = { heat: { on: true, sinceMs: 0 }, band: BAND };
    for (const { alarm, is } of watch.minute(readings, wish, false)) {
      if (is === 'present') present.add(alarm);
      else present.delete(alarm);
    }
  }
  return [...present];
}

describe('a band that the mat does not reach', () => {
  it('is said to be out of reach when the root zone stands level below it for hours', () => {
    expect(presentAt(25.4)).toEqual(['band-out-of-reach']);
  });

  it('is as good as reached within half a kelvin: a probe is no truer', () => {
    expect(presentAt(25.6)).toEqual([]);
  });
});
