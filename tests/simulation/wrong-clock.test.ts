/** Clocks that tell wrongly for how long the board was off: no crop is older for it once the date is right. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { doses, profileWith, runToDose, sownTray } from './scenes';

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

  it('opens no stage twice, and no cap: what was given stays given', () => {
    const hold = { end: { afterS: 86_400 + 3600, mark: 'emerged' as const } };
    const grower = sownTray({ hold, feed: { opening: { byS: 0, stopShare: 0.02 } } });
    const { bench } = grower;
    setClock(grower);
    bench.cutPower();
    bench.run(9 * HOUR_MS);
    bench.restorePower();
    bench.run(MINUTE_MS);
    setClock(grower, 20 * MINUTE_MS);
    expect(stageIndex(grower)).toBe(1);
    bench.run(3 * HOUR_MS);
    expect(doses(grower)).toMatchObject([{ reason: 'opening', verdict: 'seen', stage: 1 }]);
    const { stageMl, plantsMl } = grower.status().water;
    setClock(grower);
    bench.run(3 * HOUR_MS);
    expect(stageIndex(grower)).toBe(1);
    expect(grower.status().water.stageMl).toBe(stageMl);
    expect(doses(grower)).toHaveLength(1);
    // And the crop is up all the same: what it is given counts as its own.
    bench.hand.setLid('off');
    runToDose(grower);
    bench.run(HOUR_MS);
    expect(grower.status().water.plantsMl).toBeGreaterThan(plantsMl + 15);
  });

  it('ages an alarm from before the cut until the date is set right, and no longer', () => {
    const grower = sownTray();
    const { bench } = grower;
    setClock(grower);
    bench.hand.takeTray();
    bench.run(3 * HOUR_MS);
    expect(grower.alarms()).toContain('tray-away');
    bench.cutPower();
    bench.run(2 * HOUR_MS);
    bench.restorePower();
    bench.run(MINUTE_MS);
    const ageH = () =>
      (grower.status().alarms.find(({ alarm }) => alarm === 'tray-away')?.ageS ?? 0) / 3600;
    setClock(grower, 4 * DAY_MS);
    expect(ageH()).toBeGreaterThan(90);
    setClock(grower);
    expect(ageH()).toBeGreaterThan(2);
    expect(ageH()).toBeLessThan(6);
  });

  it('is told once in the journal, and so is its correction', () => {
    const grower = afterCut();
    setClock(grower, DAY_MS);
    for (const offMs of [3_000, 6_000, 9_000]) setClock(grower, DAY_MS + offMs);
    setClock(grower);
    const outages = grower.journal().flatMap((entry) => (entry.kind === 'clock' ? [entry] : []));
    expect(outages.slice(-5).map(({ outageS }) => Math.round(outageS / 3600))).toEqual([
      26, 0, 0, 0, 2,
    ]);
  });

  it('takes nothing back of a profile that was loaded since, stage and all', () => {
    const grower = afterCut();
    setClock(grower, DAY_MS);
    grower.load(profileWith(), 1);
    setClock(grower);
    expect(stageIndex(grower)).toBe(1);
  });

  it('ages no crop that was sown after the cut', () => {
    const grower = afterCut();
    grower.call('mark.set', { mark: 'sown' });
    setClock(grower);
    expect(runH(grower)).toBeLessThan(0.1);
  });

  it('ages no stage that the grower began after the cut, though power fails again before any clock is set', () => {
    const grower = afterCut();
    const { bench } = grower;
    grower.call('stage.next', {});
    bench.run(3 * HOUR_MS);
    bench.cutPower();
    bench.run(10 * MINUTE_MS);
    bench.restorePower();
    bench.run(HOUR_MS);
    setClock(grower);
    expect(runH(grower)).toBeGreaterThan(3.9);
    expect(runH(grower)).toBeLessThan(4.2);
  });
});
