import { describe, expect, test } from 'vitest';
import { probeBudget, probeChannel } from '../../hardware/budget/probe';
import { excitationV, scaleBudget, scaleParts } from '../../hardware/budget/scale';
import { supplyBudget } from '../../hardware/budget/supply';
import {
  CELL_MARGIN,
  CELLS,
  dryTrayG,
  heaviestG,
  leastDosesMl,
  mattingOf,
  smallestCell,
  soakedTrayG,
  TRAYS,
} from '../../hardware/budget/trays';
import { junctionC, mosfetHeatW } from '../../hardware/checks/outputs';
import { CIRCUIT, findPart, isKind } from '../../hardware/circuit/circuit';
import { PROBE_CIRCUITS } from '../../hardware/circuit/probes';
import { report, tray, verdict } from './builds';

const channel = () => {
  const found = probeChannel(CIRCUIT, PROBE_CIRCUITS.rootZone);
  if (found === null) throw new Error('no probe channel');
  return found;
};

describe('the probe budget', () => {
  const line = (atC: number, name: string): number =>
    probeBudget(channel(), atC).items.find((item) => item.name === name)?.limit ?? Number.NaN;

  test('1 % of resistance is 0.22 K at 25 °C: 4.47 % per kelvin at B 3977', () => {
    expect(line(25, 'probe, resistance at 25 °C')).toBeCloseTo(1 / 4.47, 1);
  });

  test('self-heating at 25 °C and 3 mW/K is 91 mK (272 µW from 3.3 V through 10 k and 10 k)', () => {
    expect(line(25, 'self-heating')).toBeCloseTo(0.091, 3);
  });

  test('the B tolerance vanishes at 25 °C and is worth about 0.12 K at 40 °C', () => {
    expect(line(25, 'probe, B value')).toBeCloseTo(0, 6);
    expect(line(40, 'probe, B value')).toBeCloseTo((313.15 * 15 * 0.0075) / 298.15, 1);
  });

  test('8 LSB at mid-scale is 8 / 45.8 K', () => {
    expect(line(25, 'ADC non-linearity')).toBeCloseTo(8 / 45.8, 2);
  });

  test('one offset at 25 °C leaves less than half a kelvin from 10 to 40 °C', () => {
    for (const atC of [10, 25, 40]) {
      const { asBuilt, calibrated } = probeBudget(channel(), atC);
      expect(calibrated.likely).toBeLessThan(0.5);
      expect(calibrated.likely).toBeLessThan(asBuilt.likely);
      expect(asBuilt.worst).toBeGreaterThan(asBuilt.likely);
    }
  });
});

describe('the scale budget', () => {
  const parts = scaleParts(CIRCUIT);
  const exciteV = excitationV(parts?.filterOhm ?? 0, parts?.bridgeOhm ?? 0);
  const budget = (ratedG: number, ratedMvPerV: number, loadG = 7000, swingK = 4) =>
    scaleBudget({ ratedG, ratedMvPerV, loadG, swingK }, exciteV);

  test('the bridge gets about 3.05 V from a low 3.3 V rail: above what the converter needs', () => {
    expect(exciteV).toBeGreaterThan(2.95);
    expect(exciteV).toBeLessThan(3.2);
  });

  test('counts per gram and noise are those of the data sheets, noise scaled from 5 V', () => {
    expect(budget(10_000, 1).countsPerG).toBeCloseTo(214.7, 1);
    expect(budget(10_000, 1).noiseG).toBeCloseTo((0.1 * 5) / exciteV, 2);
    expect(budget(5000, 2).noiseG).toBeCloseTo((0.025 * 5) / exciteV, 2);
  });

  test('a dose is told better than a day, and a day better than the absolute weight', () => {
    const { dose, day, absolute } = budget(10_000, 1);
    expect(dose.total.likely).toBeLessThan(1);
    expect(dose.total.likely).toBeLessThan(day.total.likely);
    expect(day.total.likely).toBeLessThan(absolute.total.likely);
    // 1 % of the dry-back of a flat is 40 g: a day's error is far below what watering decides on.
    expect(day.total.likely).toBeLessThan(10);
  });

  test('creep of 7 kg is 2.1 g in 30 min (0.03 %)', () => {
    expect(budget(10_000, 1).day.items.find(({ name }) => name === 'creep')?.limit).toBeCloseTo(
      2.1,
    );
  });

  test('more temperature swing makes a worse day', () => {
    expect(budget(10_000, 1, 7000, 10).day.total.likely).toBeGreaterThan(
      budget(10_000, 1, 7000, 1).day.total.likely,
    );
  });
});

describe('tray and load cell', () => {
  test('a flat of 98 plugs soaks to 5173 g of wool and water at 20 °C: a 5 kg cell is refused', () => {
    // 355.6 g of wool and 95 % of 5080 ml (4817.5 g at 998.2 kg/m3).
    // 60 g of matting and 239 g of dead water lie under it.
    const wetG = soakedTrayG(tray('flat-98')) - tray('flat-98').trayAndLidG - 59.4 - 238.3;
    expect(Math.abs(wetG - 5173.2)).toBeLessThan(0.2);
    const refused = verdict('cell', { cellG: 5000 });
    expect(refused?.level).toBe('refused');
    expect(refused?.sentence).toContain('Take a cell of 10.00 kg.');
    expect(report({ cellG: 5000 }).fits).toBe(false);
  });

  test('every tray format has a cell with a quarter in hand', () => {
    for (const format of TRAYS) {
      const cell = smallestCell(format);
      expect(cell, format.name).not.toBeNull();
      expect(cell?.ratedG).toBeGreaterThanOrEqual(CELL_MARGIN * heaviestG(format));
    }
  });

  test('a cell much too large is a caution, not a refusal', () => {
    expect(verdict('cell', { cellG: 50_000 })?.level).toBe('caution');
    expect(report({ cellG: 50_000 }).fits).toBe(true);
  });

  test('a tray longer than the platform of its cell is pointed out', () => {
    expect(verdict('platform')?.level).toBe('caution');
    expect(verdict('platform', { tray: tray('half-40'), cellG: 5000 })?.level).toBe('fits');
    expect(CELLS.every(({ platformMm }) => platformMm <= 400)).toBe(true);
  });
});

describe('what leads a dose to every piece', () => {
  test('stands on the scale: matting for a flat is 59 g dry, and holds 239 ml of dead water', () => {
    const { dryG, holdsMl, areaM2: area } = mattingOf(tray('flat-98'));
    expect(area).toBeCloseTo(0.129, 3);
    expect(dryG).toBeCloseTo(460 * 0.129, 0);
    expect(holdsMl).toBeCloseTo(1850 * 0.129, 0);
    expect(dryTrayG(tray('flat-98'))).toBeCloseTo(355.6 + 600 + dryG, 0);
  });

  test('asks for 120 ml over matting, 196 ml from 98 outlets, and 387 ml as a flood of 3 mm', () => {
    const least = leastDosesMl(tray('flat-98'));
    expect(least['capillary-matting']).toBeCloseTo(119.4, 0);
    expect(least['drilled-manifold']).toBe(196);
    expect(least.channels).toBeCloseTo(387, 0);
  });
});

describe('supply, heat and water', () => {
  test('a switch at 3 A makes I²R of a hot chip, and its junction stays below 110 °C', () => {
    const part = findPart(CIRCUIT, 'Q1');
    if (part === undefined || !isKind(part, 'mosfet')) throw new Error('Q1 is no MOSFET');
    expect(mosfetHeatW(part.ratings, 3)).toBeCloseTo(9 * 0.03 * 1.6, 6);
    expect(junctionC(part.ratings, 3)).toBeCloseTo(50 + 9 * 0.03 * 1.6 * 110, 6);
    expect(junctionC(part.ratings, 3)).toBeLessThan(110);
  });

  test('half the rail takes twice the current for the same watts', () => {
    const at12 = supplyBudget(CIRCUIT, 12, 24);
    const at24 = supplyBudget(CIRCUIT, 24, 24);
    expect(at12.matA).toBeCloseTo(2 * at24.matA, 9);
    expect(at12.converterA).toBeCloseTo(2 * at24.converterA, 9);
  });

  test('a reservoir larger than the drip tray safely holds is refused', () => {
    expect(verdict('reservoir')).toBeUndefined();
    expect(verdict('reservoir', { reservoirMl: 4000, dripTrayMl: 4500 })?.level).toBe('refused');
    expect(verdict('reservoir', { reservoirMl: 4000, dripTrayMl: 5000 })?.level).toBe('fits');
  });

  test('sentences follow the units of the grower', () => {
    expect(verdict('mat-reach', { units: 'us' })?.sentence).toContain('°F');
    expect(verdict('cell', { units: 'us' })?.sentence).toContain('lb');
  });
});
