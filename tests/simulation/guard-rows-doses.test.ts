/** What the guard finds of scale and doses: what a dose is weighed by, what comes of it, and a pump that may run no longer. */
import { describe, expect, it } from 'vitest';
import { Random } from '../../firmware/bench/random';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Grower } from './grower';
import { changesOf, doses, runToDose, sownTray, stateOfAlarm, wateredTray } from './scenes';

/** A lid that is laid down on the tray's edge and put back in its place, g. */
const LID_G = 150;

/** From now on each code is off by so many grams rms more: a fan, a loose platform. */
function tremble(grower: Grower, noiseG: number): void {
  const { rig } = grower.bench;
  const random = new Random(7);
  const read = rig.scaleCode.bind(rig);
  rig.scaleCode = () => read() + random.normal() * noiseG * rig.plant.cell.countsPerG;
}

/** From now on its platform is held where it is; the converter still has its noise. */
function stick(grower: Grower): void {
  const { rig } = grower.bench;
  const random = new Random(7);
  const read = rig.scaleCode.bind(rig);
  let heldCode = Number.NaN;
  rig.scaleCode = () => {
    const code = read();
    if (Number.isNaN(heldCode)) heldCode = code;
    return heldCode + random.normal() * 0.1 * rig.plant.cell.countsPerG;
  };
}

describe('a scale that trembles', () => {
  it.each([1, 1.5, 2])('evenly by %f g waters as ever, and says nothing', (noiseG) => {
    const grower = wateredTray();
    tremble(grower, noiseG);
    grower.bench.run(3 * DAY_MS);
    expect(doses(grower).length).toBeGreaterThan(5);
    expect(new Set(doses(grower).map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
    expect(changesOf(grower, 'scale-noisy')).toEqual([]);
    expect(grower.alarms()).toEqual([]);
  });

  it('so that no dose can be weighed, says so long before the tray is dry', () => {
    for (const noiseG of [3, 5]) {
      const grower = wateredTray();
      tremble(grower, noiseG);
      const told = () => grower.alarms().includes('scale-noisy');
      expect(grower.bench.runUntil(told, 2 * HOUR_MS), `${noiseG} g`).toBe(true);
    }
  });

  it.each([2.3, 2.5, 2.7])('by %f g, hardly too much, does not cry again and again', (noiseG) => {
    const grower = wateredTray();
    tremble(grower, noiseG);
    grower.bench.run(2 * DAY_MS);
    expect(changesOf(grower, 'scale-noisy').length).toBeLessThanOrEqual(4);
  });

  it('is noticed within a quarter of an hour, holds doses off, and is forgiven when it is still', () => {
    const grower = sownTray();
    grower.bench.fault('scale-noisy');
    grower.bench.run(15 * MINUTE_MS);
    expect(grower.alarms()).toContain('scale-noisy');
    expect(grower.status().water.heldBy).toBe('scale-noisy');
    grower.bench.fault('scale-noisy', false);
    grower.bench.run(15 * MINUTE_MS);
    expect(stateOfAlarm(grower, 'scale-noisy')).toBe('returned');
    expect(grower.status().water.heldBy).toBe('hold');
  });

  it('gets no dose, however dry the tray becomes', () => {
    const grower = wateredTray();
    grower.bench.fault('scale-noisy');
    grower.bench.run(3 * DAY_MS);
    expect(doses(grower)).toEqual([]);
  });
});

describe('doses that do not come out as they should', () => {
  it('too large: water runs after the pump has stopped; latched, no further dose until cleared', () => {
    const grower = wateredTray();
    runToDose(grower);
    grower.bench.fault('siphon', true, 5 * MINUTE_MS);
    grower.bench.run(12 * MINUTE_MS);
    expect(grower.alarms()).toContain('dose-too-large');
    grower.bench.run(3 * DAY_MS);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['too-large']);
    expect(grower.status().water.heldBy).toBe('dose-too-large');
    grower.call('alarm.clear', { alarm: 'dose-too-large' });
    grower.bench.run(HOUR_MS);
    expect(doses(grower)[1]?.verdict).toBe('seen');
  });

  it('two that handling kept from being weighed call a person, a stopped one between them or not', () => {
    const grower = wateredTray();
    const nextDose = () => {
      runToDose(grower);
      grower.bench.run(3000);
    };
    const disturb = () => {
      nextDose();
      grower.bench.hand.takeTray();
      grower.bench.run(MINUTE_MS);
      grower.bench.hand.putTray();
      grower.bench.run(MINUTE_MS);
    };
    disturb();
    nextDose();
    grower.call('pump.stop', {});
    expect(grower.alarms()).toEqual([]);
    disturb();
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled', 'stopped', 'handled']);
    expect(grower.status().water.heldBy).toBe('dose-not-seen');
  });

  /** Hands come upon two doses as they soak in. */
  function comeUponTwo(grower: Grower): void {
    const { bench } = grower;
    for (let visit = 0; visit < 2; visit++) {
      runToDose(grower);
      expect(bench.runUntil(() => !bench.state().outputs.pump, HOUR_MS)).toBe(true);
      bench.run(2 * MINUTE_MS);
      bench.hand.takeTray();
      bench.run(MINUTE_MS);
      bench.hand.putTray();
      bench.run(MINUTE_MS);
    }
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled', 'handled']);
  }

  it('two that came before hands were on the tray stop no water: the next is given and weighed', () => {
    const grower = wateredTray();
    comeUponTwo(grower);
    expect(grower.alarms()).toEqual([]);
    runToDose(grower);
    grower.bench.run(HOUR_MS);
    expect(doses(grower)[2]?.verdict).toBe('seen');
  });

  it('two that did not come before hands were on the tray call a person', () => {
    const grower = wateredTray();
    grower.bench.fault('tube-off');
    comeUponTwo(grower);
    expect(grower.status().water.heldBy).toBe('dose-not-seen');
  });

  it('one visit spoils one: the next waits until the hand that opened a lid has closed it again', () => {
    const grower = wateredTray();
    const { bench } = grower;
    runToDose(grower);
    bench.run(3000);
    bench.hand.putWeight(LID_G);
    bench.run(6 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe('handling');
    bench.hand.takeWeight();
    bench.run(19 * MINUTE_MS);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled']);
    bench.run(15 * MINUTE_MS);
    expect(doses(grower)[1]?.verdict).toBe('seen');
    expect(grower.alarms()).toEqual([]);
  });

  it('one that had come before the visit is followed by none until the hand is done either', () => {
    const grower = wateredTray();
    const { bench } = grower;
    runToDose(grower);
    bench.run(3 * MINUTE_MS);
    bench.hand.putWeight(LID_G);
    bench.run(12 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe('handling');
    bench.hand.takeWeight();
    bench.run(25 * MINUTE_MS);
    expect(grower.status().water.heldBy).toBe(null);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled']);
    expect(grower.alarms()).toEqual([]);
  });

  it('one that had come before the visit is waited for as well where the pump is run by hand meanwhile', () => {
    const grower = wateredTray();
    const { bench } = grower;
    runToDose(grower);
    bench.run(3 * MINUTE_MS);
    bench.hand.putWeight(LID_G);
    bench.run(6 * MINUTE_MS);
    grower.call('pump.run', { reason: 'prime', ms: 500 });
    bench.run(6 * MINUTE_MS);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled', 'unproved']);
    expect(grower.status().water.heldBy).toBe('handling');
  });

  it('two that power cuts kept from being weighed call a person as well, and no third is given', () => {
    const grower = wateredTray();
    grower.bench.fault('tube-off');
    for (let cut = 0; cut < 2; cut++) {
      expect(grower.alarms()).toEqual([]);
      runToDose(grower);
      grower.bench.run(MINUTE_MS);
      grower.bench.cutPower();
      grower.bench.run(MINUTE_MS);
      grower.bench.restorePower();
      grower.bench.run(MINUTE_MS);
      grower.connect();
    }
    expect(grower.alarms()).toEqual(['dose-not-seen']);
    const { ranS } = grower.bench.state().pump;
    grower.bench.run(2 * DAY_MS);
    expect(grower.bench.state().pump.ranS).toBe(ranS);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['cut', 'cut']);
  });

  it('one that a hand kept from being weighed is remembered over a power cut', () => {
    const grower = wateredTray();
    runToDose(grower);
    grower.bench.run(3000);
    grower.bench.hand.takeTray();
    grower.bench.run(MINUTE_MS);
    grower.bench.hand.putTray();
    grower.bench.run(MINUTE_MS);
    runToDose(grower);
    grower.bench.cutPower();
    grower.bench.run(MINUTE_MS);
    grower.bench.restorePower();
    grower.bench.run(MINUTE_MS);
    grower.connect();
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['handled', 'cut']);
    expect(grower.alarms()).toEqual(['dose-not-seen']);
  });

  it('a scale that fails whenever the pump runs gets two doses, not all that the day allows', () => {
    const grower = wateredTray();
    for (let dose = 0; dose < 2; dose++) {
      expect(grower.alarms()).not.toContain('dose-not-seen');
      runToDose(grower);
      grower.bench.run(2000);
      grower.bench.fault('scale-saturated', true, MINUTE_MS);
      grower.bench.run(2 * MINUTE_MS);
    }
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['stopped', 'stopped']);
    expect(grower.alarms()).toContain('dose-not-seen');
  });

  it('a worn tube that gives half is a dose not seen', () => {
    const grower = wateredTray();
    grower.bench.fault('tube-worn');
    runToDose(grower);
    grower.bench.run(12 * MINUTE_MS);
    expect(grower.alarms()).toContain('dose-not-seen');
    expect(grower.status().water.heldBy).toBe('dose-not-seen');
  });

  it('a tube that gives 80 % is told while its doses are still seen, and watering goes on', () => {
    const grower = wateredTray();
    const { mlPerS } = grower.bench.rig.plant.parameters.pump;
    grower.call('pump.run', { ms: 12_000, reason: 'prime' });
    grower.bench.run(MINUTE_MS);
    grower.call('pump.calibrate', { mlPerS: mlPerS / 0.8, cvPercent: 1 });
    grower.bench.run(3 * DAY_MS);
    expect(stateOfAlarm(grower, 'pump-off')).toBe('unaccepted');
    const given = doses(grower).filter(({ reason }) => reason !== 'prime');
    expect(new Set(given.map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
    const { heldBy, pumpShare, pumpScatter } = grower.status().water;
    expect(heldBy).toBe(null);
    expect(Math.abs(pumpShare - 0.8)).toBeLessThan(0.04);
    expect(pumpScatter).toBeLessThan(0.1);
    // A run by hand that is stopped at once takes nothing off what the doses have used of the caps.
    const { stageMl } = grower.status().water;
    grower.call('pump.run', { ms: 100_000, reason: 'prime' });
    grower.call('pump.stop', {});
    expect(grower.status().water.stageMl).toBeCloseTo(stageMl, 3);
    // What doses have shown never touches the grower's own calibration, and a new one begins it anew.
    expect(grower.call('pump.state', {}, false).calibration?.mlPerS).toBeCloseTo(mlPerS / 0.8, 6);
    grower.call('pump.calibrate', { mlPerS, cvPercent: 1 });
    expect(grower.status().water.pumpShare).toBe(1);
  });
});

describe('a scale that no longer moves under a tray that dries', () => {
  it('is told within a day', () => {
    const grower = wateredTray({ watering: { startShare: 0.4, stopShare: 0.3 } });
    const { bench } = grower;
    bench.run(1.5 * DAY_MS);
    expect(changesOf(grower, 'drying-stopped')).toEqual([]);
    stick(grower);
    bench.run(20 * HOUR_MS);
    expect(stateOfAlarm(grower, 'drying-stopped')).toBe('unaccepted');
  });
});

describe('a tray that dries while its doses soak in', () => {
  /** Small doses that soak in for an hour under a propped lid: what dries meanwhile is half of one. */
  const dryingTray = () => {
    const small = { doseMl: 10, soakInS: 3600, startShare: 0.1, stopShare: 0.08 };
    const grower = wateredTray({ watering: small }, { room: { meanC: 26 } });
    grower.bench.hand.setLid('propped');
    grower.call('pump.run', { ms: 12_000, reason: 'prime' });
    grower.bench.run(6 * HOUR_MS);
    return grower;
  };
  const given = (grower: Grower) => doses(grower).filter(({ reason }) => reason !== 'prime');

  it('has them proved all the same', () => {
    const grower = dryingTray();
    grower.bench.run(6 * DAY_MS);
    const all = given(grower);
    expect(all.length).toBeGreaterThan(20);
    expect(Math.min(...all.map(({ gainedG }) => gainedG))).toBeLessThan(7);
    expect(new Set(all.map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
  });

  it('has none proved that did not arrive', () => {
    const grower = dryingTray();
    grower.bench.fault('reservoir-empty');
    grower.bench.run(6 * DAY_MS);
    expect(given(grower).map(({ verdict }) => verdict)).toEqual(['not-seen']);
  });

  it('gets no last dose so small that the scale could not tell it from nothing', () => {
    for (const doseMl of [40, 50]) {
      const grower = wateredTray({ watering: { doseMl } });
      grower.bench.run(4 * DAY_MS);
      const plannedMl = given(grower).map((dose) => dose.plannedMl);
      expect(plannedMl.length).toBeGreaterThan(4);
      expect(Math.min(...plannedMl)).toBeGreaterThanOrEqual(doseMl / 2);
    }
  });
});

describe('a pump that has run as long as it may in an hour', () => {
  it('if slow, waits for the next hour with a dose that it could not finish: each is whole, and is seen', () => {
    const grower = wateredTray(
      { watering: { startShare: 0.08, stopShare: 0.02 } },
      { pump: { mlPerS: 0.15 } },
    );
    runToDose(grower);
    const handlingBefore = grower.journal().filter(({ kind }) => kind === 'handling');
    const waits = () => grower.status().water.heldBy === 'pump-hour';
    expect(grower.bench.runUntil(waits, 2 * HOUR_MS)).toBe(true);
    const before = grower.bench.state().pump.ranS;
    grower.bench.run(5 * HOUR_MS);
    expect(grower.bench.state().pump.ranS).toBeGreaterThan(before + 600);
    expect(new Set(doses(grower).map(({ verdict }) => verdict))).toEqual(new Set(['seen']));
    expect(grower.journal().filter(({ kind }) => kind === 'handling')).toEqual(handlingBefore);
    expect(grower.alarms()).toEqual([]);
  });

  it('if too slow for a single dose, calls a person at the second', () => {
    const grower = wateredTray({}, { pump: { mlPerS: 0.05 } });
    runToDose(grower);
    grower.bench.run(HOUR_MS);
    expect(grower.alarms()).toEqual(['dose-not-seen']);
    expect(doses(grower).map(({ verdict }) => verdict)).toEqual(['stopped', 'stopped']);
  });

  it('stops a run by hand as well, so that no calibration counts time that it stood still', () => {
    const grower = sownTray();
    const runs = Array.from({ length: 6 }, () => {
      grower.call('pump.run', { ms: 120_000, reason: 'calibrate' });
      grower.bench.run(125_000);
      return grower.call('pump.state', {}, false).ranMs;
    });
    expect(runs.slice(0, 5)).toEqual([120_000, 120_000, 120_000, 120_000, 120_000]);
    expect(runs[5]).toBeLessThan(2_000);
  });
});
