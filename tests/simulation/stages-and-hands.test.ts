/** How stages end, and what hands at the tray do to its watering. */
import { describe, expect, it } from 'vitest';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { doses, runToDose, sownTray, wateredTray } from './scenes';

const stageIndex = (grower: Grower) => grower.status().stage?.index;
const dryBack = (grower: Grower) => grower.status().water.dryBackShare ?? Number.NaN;

describe('a stage ends', () => {
  const twoDays = { hold: { end: { afterS: 2 * 86_400, mark: 'emerged' } } } as const;
  const changes = (grower: Grower) =>
    grower
      .journal()
      .flatMap((entry) =>
        entry.kind === 'stage' ? [[entry.from, entry.to, entry.reason] as const] : [],
      );

  it('by its run time, to the minute', () => {
    const grower = sownTray(twoDays);
    grower.bench.run(28 * HOUR_MS - MINUTE_MS);
    expect(stageIndex(grower)).toBe(0);
    grower.bench.run(2 * MINUTE_MS);
    expect(stageIndex(grower)).toBe(1);
    expect(changes(grower).at(-1)).toEqual([0, 1, 'run-time']);
  });

  it('by its mark, when that comes first', () => {
    const grower = sownTray(twoDays);
    grower.call('mark.set', { mark: 'emerged' });
    expect(stageIndex(grower)).toBe(1);
    expect(changes(grower).at(-1)).toEqual([0, 1, 'mark']);
    grower.bench.run(3 * DAY_MS);
    expect(stageIndex(grower)).toBe(1);
  });

  it('not by time while the grower has it stay, but by the mark; at once when let go', () => {
    const grower = sownTray(twoDays);
    grower.call('stage.stay', { stay: true });
    grower.bench.run(3 * DAY_MS);
    expect(grower.status().stage).toMatchObject({ index: 0, staying: true, leftS: null });
    grower.call('stage.stay', { stay: false });
    grower.bench.run(2000);
    expect(stageIndex(grower)).toBe(1);

    const marked = sownTray(twoDays);
    marked.call('stage.stay', { stay: true });
    marked.call('mark.set', { mark: 'emerged' });
    expect(marked.status().stage).toMatchObject({ index: 1, staying: false });
  });

  it('by the word of the grower, but the last one never', () => {
    const grower = sownTray(twoDays);
    grower.call('stage.next', {});
    expect(stageIndex(grower)).toBe(1);
    expect(() => grower.call('stage.next', {})).toThrow(/last stage/);
    expect(changes(grower).at(-1)).toEqual([0, 1, 'grower']);
  });

  it('by a mark that was answered, though the power fails before the next tick', () => {
    const grower = sownTray(twoDays);
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.cutPower();
    grower.bench.run(HOUR_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    expect(stageIndex(grower)).toBe(1);
    expect(changes(grower).at(-1)).toEqual([0, 1, 'mark']);
  });

  it('while the board was off, once the clock tells that it was', () => {
    const grower = sownTray(twoDays);
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    grower.bench.run(10 * MINUTE_MS);
    grower.bench.cutPower();
    grower.bench.run(2 * DAY_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    expect(stageIndex(grower)).toBe(0);
    grower.call('clock.set', { unixMs: grower.bench.unixMs });
    expect(stageIndex(grower)).toBe(1);
    expect(changes(grower).at(-1)).toEqual([0, 1, 'outage']);
  });
});

describe('after the transplant', () => {
  it('the roots are left alone for three days, dry as the blocks may be; then water comes', () => {
    const grower = wateredTray();
    grower.bench.hand.transplant();
    grower.call('mark.set', { mark: 'transplanted' });
    grower.bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    grower.bench.run(3 * DAY_MS - HOUR_MS);
    expect(dryBack(grower)).toBeGreaterThan(0.04);
    expect(grower.status().water.heldBy).toBe('transplant-hold');
    expect(doses(grower)).toEqual([]);
    runToDose(grower, 2 * HOUR_MS);
  });

  it('a weight that is refused leaves the weights as they were', () => {
    const grower = wateredTray();
    grower.bench.hand.transplant();
    grower.call('mark.set', { mark: 'transplanted' });
    grower.bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    const weights = () => {
      const { capacityG, dryG } = grower.status().water;
      return [capacityG, dryG];
    };
    const before = weights();
    expect(() => grower.call('mark.set', { mark: 'soaked', trayG: 300 })).toThrow(/is not soaked/);
    expect(weights()).toEqual(before);
  });

  it('power cuts do not shorten the hold', () => {
    const grower = wateredTray();
    grower.bench.hand.transplant();
    grower.call('mark.set', { mark: 'transplanted' });
    grower.bench.run(30 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    for (let day = 0; day < 2; day++) {
      grower.bench.run(DAY_MS);
      grower.bench.cutPower();
      grower.bench.run(MINUTE_MS);
      grower.bench.restorePower();
    }
    grower.bench.run(HOUR_MS);
    expect(grower.status().water.heldBy).toBe('transplant-hold');
  });
});

describe('a tray that is split: some plants are moved on, and the rest stays', () => {
  /** 49 of 98 plugs stay, soaked again and drained. */
  function split(): Grower {
    const grower = wateredTray();
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.splitInHalf();
    grower.call('mark.set', { mark: 'moved', pieces: 49 });
    expect(grower.status().water.capacityG).toBeNull();
    return soakedAgain(grower);
  }

  function soakedAgain(grower: Grower): Grower {
    grower.bench.hand.soak();
    grower.bench.run(90 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    return grower;
  }

  it('goes on in its stage, and its dry-back is that of the pieces that stayed', () => {
    const grower = split();
    expect(stageIndex(grower)).toBe(1);
    expect(
      grower.journal().find((entry) => entry.kind === 'mark' && entry.mark === 'moved'),
    ).toMatchObject({
      pieces: 49,
    });
    const { capacityG, dryG } = grower.status().water;
    const { tray } = grower.bench.state();
    expect((capacityG ?? 0) - (dryG ?? 0)).toBeCloseTo(tray.capacityG - tray.dryG, -2);
    grower.bench.run(2 * DAY_MS);
    expect(Math.abs((dryBack(grower) ?? 1) - grower.bench.state().tray.dryBackShare)).toBeLessThan(
      0.02,
    );
  });

  it('counts what each plant gets by the pieces that stayed, over a power cut too', () => {
    const grower = split();
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    const before = grower.status().water;
    runToDose(grower, 12 * DAY_MS);
    grower.bench.run(HOUR_MS);
    const after = grower.status().water;
    expect((after.eachMl ?? 0) - (before.eachMl ?? 0)).toBeCloseTo(
      (after.plantsMl - before.plantsMl) / 49,
      1,
    );
    expect(after.plantsMl - before.plantsMl).toBeGreaterThan(10);
  });

  it('is thought to carry the plants of the pieces that stayed, not of all that were sown', () => {
    const [half, all] = [split(), soakedAgain(wateredTray())].map((grower) => {
      grower.bench.run(3 * DAY_MS);
      return grower.status().water.grownG ?? Number.NaN;
    });
    expect(half).toBeGreaterThan(0);
    // A full stand shades itself a little: it gains not quite twice as much.
    const ratio = (all ?? 0) / (half ?? 1);
    expect(ratio).toBeGreaterThan(1.7);
    expect(ratio).toBeLessThanOrEqual(2.05);
  });
});

describe('hands at the tray', () => {
  it('a tray taken off the scale gets no dose, not even after days, nor at once when it is back', () => {
    const grower = wateredTray();
    // It dries by less than half its dry weight: then the board knows it again.
    grower.bench.hand.setLid('propped');
    grower.bench.hand.takeTray();
    grower.bench.run(2 * DAY_MS);
    expect(grower.status().water.heldBy).toBe('tray-off');
    expect(grower.bench.state().pump.ranS).toBe(0);
    grower.bench.hand.putTray();
    grower.bench.run(2 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe('handling');
    grower.bench.run(5 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe(null);
  });

  it('taken off in the middle of a dose, the pump stops within seconds', () => {
    const grower = wateredTray();
    runToDose(grower);
    grower.bench.run(3000);
    grower.bench.hand.takeTray();
    grower.bench.run(12_000);
    expect(grower.bench.state().outputs.pump).toBe(false);
    grower.bench.run(DAY_MS);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled']);
  });

  it('a lid that rests on the tray, taken off for the day, is no dry-back', () => {
    const grower = sownTray();
    const lidG = 150;
    grower.bench.hand.putWeight(lidG);
    grower.bench.run(5 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    grower.bench.run(MINUTE_MS);
    const before = dryBack(grower);
    grower.bench.hand.takeWeight();
    grower.bench.run(5 * MINUTE_MS);
    expect(dryBack(grower)).toBeCloseTo(before, 2);
    grower.bench.hand.putWeight(lidG);
    grower.bench.run(5 * MINUTE_MS);
    expect(dryBack(grower)).toBeCloseTo(before, 2);
  });

  it('a lid taken off just before the power is cut is no dry-back either', () => {
    const grower = sownTray();
    grower.bench.hand.putWeight(150);
    grower.bench.run(5 * MINUTE_MS);
    grower.call('mark.set', { mark: 'soaked' });
    grower.bench.run(MINUTE_MS);
    const before = dryBack(grower);
    grower.bench.hand.takeWeight();
    grower.bench.run(30_000);
    grower.call('mark.set', { mark: 'vented' });
    grower.bench.run(2_000);
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    grower.connect();
    grower.bench.run(5 * MINUTE_MS);
    expect(dryBack(grower)).toBeCloseTo(before, 2);
  });

  it('water given by hand counts, and puts the next dose off', () => {
    const grower = wateredTray();
    // Dry enough to keep all that is sprayed on it, and not yet at its first dose.
    grower.bench.run(8 * HOUR_MS);
    const before = dryBack(grower);
    grower.bench.hand.mist(80);
    grower.bench.run(10 * MINUTE_MS);
    const { tray } = grower.bench.state();
    expect(before - dryBack(grower)).toBeGreaterThan(0.015);
    expect(dryBack(grower)).toBeCloseTo(tray.dryBackShare, 2);
    expect(grower.alarms()).toEqual([]);
  });

  it('water poured from a can for a minute is no stuck pump', () => {
    const grower = wateredTray();
    for (let s = 0; s < 45; s++) {
      grower.bench.hand.mist(5);
      grower.bench.run(1000);
    }
    grower.bench.run(10 * MINUTE_MS);
    expect(grower.alarms()).toEqual([]);
  });
});
