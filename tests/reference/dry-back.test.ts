import { describe, expect, test } from 'vitest';
import {
  capacityWaterMl,
  capacityWoolG,
  dryBackShare,
  dryWoolG,
  pieceVolumeMl,
  porosityShare,
  refillMl,
  soakedWoolG,
  trayAtDryBackG,
} from '../../shared/physics/dry-back';

const INCH_MM = 25.4;
/** 98 plugs of 36 x 36 x 40 mm: the usual flat (stone-wool format table, "rockwool cube sizes"). */
const FLAT = { pieces: 98, pieceMl: 51.84, bulkDensityKgM3: 70, capacityShare: 0.8 };
const WEIGHTS = { capacityG: 4419.9, dryG: 355.6 };

describe('volumes of stone-wool formats', () => {
  test.each([
    [25, 25, 40, 25],
    [36, 36, 40, 51.84],
    [75, 75, 65, 365.625],
    [100, 100, 65, 650],
    [100, 100, 100, 1000],
    [150, 150, 142, 3195],
    [900, 150, 75, 10_125],
    [1000, 150, 75, 11_250],
    [1000, 200, 75, 15_000],
    [1000, 150, 100, 15_000],
  ])('%d x %d x %d mm: %d ml', (length, width, height, ml) => {
    expect(pieceVolumeMl(length, width, height)).toBeCloseTo(ml, 9);
  });

  test.each([
    [1, 1, 1.5, 24.58],
    [1.5, 1.5, 1.5, 55.31],
  ])('%d x %d x %d in: %d ml', (length, width, height, ml) => {
    expect(pieceVolumeMl(length * INCH_MM, width * INCH_MM, height * INCH_MM)).toBeCloseTo(ml, 2);
  });

  test('a full flat holds 5.00 l of 25 ml plugs or 5.08 l of 51.84 ml plugs', () => {
    expect(200 * pieceVolumeMl(25, 25, 40)).toBeCloseTo(5000, 9);
    expect(98 * pieceVolumeMl(36, 36, 40)).toBeCloseTo(5080.32, 9);
  });
});

describe('wool and water (Frontiers in Plant Science 2014, 5:625, table 4; Acta Agrophysica 2007, 10:113)', () => {
  test('49 kg/m3 of fibre of 1900 kg/m3 leaves 97.4 % pores', () => {
    expect(porosityShare(49)).toBeCloseTo(0.974, 3);
  });

  test('published capacities close: 12.40 and 11.23 kg/kg with 9 % air give 76.9 g/l, 95.4 and 86.4 %', () => {
    const bulk = (0.09 / (12.4 - 11.23)) * 1000;
    expect(bulk).toBeCloseTo(76.9, 1);
    const wool = { pieces: 1, pieceMl: 1000, bulkDensityKgM3: bulk, capacityShare: 0.864 };
    expect(capacityWaterMl(wool) / dryWoolG(wool)).toBeCloseTo(11.23, 1);
    expect((12.4 * dryWoolG(wool)) / 1000).toBeCloseTo(0.954, 2);
    expect(porosityShare(bulk)).toBeGreaterThan(0.954);
  });

  test.each([
    [25, 0.8, 20],
    [25, 0.9, 22.5],
    [51.84, 0.8, 41.5],
    [51.84, 0.9, 46.7],
    [365.6, 0.8, 292.5],
    [650, 0.9, 585],
    [3195, 0.6, 1917],
    [11_250, 0.8, 9000],
  ])('%d ml at %d holds %d ml', (pieceMl, capacityShare, ml) => {
    const water = capacityWaterMl({ pieces: 1, pieceMl, bulkDensityKgM3: 70, capacityShare });
    expect(water / ml).toBeCloseTo(1, 2);
  });
});

describe('the usual flat', () => {
  // The vector counts water as 1 g/ml; at 20 C it weighs 0.18 % less.
  test('weighs 355.6 g dry, 4.42 kg at container capacity, 5.18 kg soaked', () => {
    expect(dryWoolG(FLAT)).toBeCloseTo(355.6, 1);
    expect(capacityWaterMl(FLAT)).toBeCloseTo(4064.3, 1);
    expect(capacityWoolG(FLAT) / 4419.9).toBeCloseTo(1, 2);
    expect(soakedWoolG(FLAT) / 5181.9).toBeCloseTo(1, 2);
  });

  test('soaked, it overloads a 5 kg cell before tray, plants and lid are counted', () => {
    expect(soakedWoolG(FLAT)).toBeGreaterThan(5000);
  });

  test('3200.6 g on the scale is a dry-back of 30.0 %', () => {
    expect(dryBackShare(3200.6, WEIGHTS)).toBeCloseTo(0.3, 3);
    expect(trayAtDryBackG(0.3, WEIGHTS)).toBeCloseTo(3200.6, 1);
  });

  test('from 20 % back to 5 % takes 609.6 g, which is 610.7 ml at 20 C', () => {
    const trayG = trayAtDryBackG(0.2, WEIGHTS);
    expect(trayAtDryBackG(0.05, WEIGHTS) - trayG).toBeCloseTo(609.6, 1);
    expect(refillMl(trayG, 0.05, WEIGHTS, 20)).toBeCloseTo(610.7, 0);
  });

  test('a lighter tray is always drier, and a tray wet enough needs nothing', () => {
    for (let g = 400; g < 4400; g += 100) {
      expect(dryBackShare(g, WEIGHTS)).toBeGreaterThan(dryBackShare(g + 1, WEIGHTS));
    }
    expect(refillMl(4419.9, 0.05, WEIGHTS)).toBe(0);
  });

  test('without a container capacity above the dry weight there is no dry-back', () => {
    expect(dryBackShare(3000, { capacityG: 355.6, dryG: 355.6 })).toBeNaN();
    expect(dryBackShare(3000, { capacityG: Number.NaN, dryG: 355.6 })).toBeNaN();
    expect(dryBackShare(3000, { capacityG: 300, dryG: 355.6 })).toBeNaN();
  });
});
