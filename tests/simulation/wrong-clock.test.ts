/** Clocks that tell wrongly for how long the board was off: no crop is older for it once the date is right. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, type Grower, HOUR_MS, MINUTE_MS } from './grower';
import { sownTray } from './scenes';

describe('a laptop with a wrong date, after a power cut', () => {
  const HOLD_S = 5 * 86_400;
  /** A day and 20 h of the hold, then two hours without mains. */
  const afterCut = () => {
    const grower = sownTray({ hold: { end: { afterS: HOLD_S, mark: 'emerged' } } });
    const { bench } = grower;
    grower.call('clock.set', { unixMs: bench.unixMs });
    bench.run(DAY_MS);
    bench.cutPower();
    bench.run(2 * HOUR_MS);
    bench.restorePower();
    bench.run(MINUTE_MS);
    return grower;
  };
  const stageIndex = (grower: Grower) => grower.status().stage?.index;
  const runH = (grower: Grower) => (grower.status().stage?.runS ?? 0) / 3600;
  const setClock = (grower: Grower, wrongMs = 0) =>
    grower.call('clock.set', { unixMs: grower.bench.unixMs + wrongMs });

  it('of next month ages no crop', () => {
    const grower = afterCut();
    const before = runH(grower);
    setClock(grower, 30 * DAY_MS);
    expect(runH(grower)).toBeCloseTo(before, 2);
  });

  it('of some days later ages the crop until the date is set right, and no longer', () => {
    const grower = afterCut();
    const before = runH(grower);
    setClock(grower, 4 * DAY_MS);
    expect(stageIndex(grower)).toBe(1);
    grower.bench.run(5 * HOUR_MS);
    setClock(grower);
    expect(stageIndex(grower)).toBe(0);
    expect(runH(grower)).toBeGreaterThan(before + 6.9);
    expect(runH(grower)).toBeLessThan(before + 7.2);
    expect(grower.status().outage?.forS).toBeLessThan(2.2 * 3600);
    // The hold goes on as it would have.
    grower.bench.run(DAY_MS);
    expect(stageIndex(grower)).toBe(0);
  });

  it('or of before the cut leaves the outage to the clock that comes after it', () => {
    const grower = afterCut();
    const before = runH(grower);
    setClock(grower, -10 * DAY_MS);
    expect(runH(grower)).toBeCloseTo(before, 2);
    setClock(grower);
    expect(runH(grower)).toBeGreaterThan(before + 1.9);
  });

  it('takes nothing back of what the grower has said since', () => {
    const grower = afterCut();
    setClock(grower, DAY_MS);
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.run(HOUR_MS);
    setClock(grower);
    expect(stageIndex(grower)).toBe(1);
    expect(runH(grower)).toBeCloseTo(1, 1);
  });
});
