import { describe, expect, test } from 'vitest';
import { LIMITER } from '../../shared/board/map';
import {
  bOfCurve,
  codeFromTemperature,
  curveFromB,
  KELVIN_AT_0C,
  ohmFromCode,
  REFERENCE_PROBE,
  resistanceOhm,
  selfHeatingK,
  type TableRow,
  temperatureC,
  temperatureFromCode,
} from '../../shared/physics/ntc';
import { fitted } from '../../shared/physics/ntc-fit';
import { bOfTable, checkBPair, suspectRows } from './ntc-curve';
import { rowAt, TABLE_103AT, TABLE_3977 } from './ntc-tables';

const LINEAR_B = curveFromB({ b: 3977, t1C: 25, t2C: 85 }, 10_000);

describe('the reference probe against Vishay document 29049 (10 k, B25/85 3977)', () => {
  test('Steinhart-Hart through 0, 25 and 50 C has the coefficients of the probe model', () => {
    const solved = fitted([rowAt(0), rowAt(25), rowAt(50)]);
    expect(solved.ok).toBe(true);
    if (!solved.ok) return;
    expect(solved.value.a / 1.135106596e-3).toBeCloseTo(1, 6);
    expect(solved.value.b / 2.329328396e-4).toBeCloseTo(1, 6);
    expect(solved.value.c / 9.409643e-8).toBeCloseTo(1, 6);
    expect(REFERENCE_PROBE.a).toBeCloseTo(solved.value.a, 15);
    expect(REFERENCE_PROBE.b).toBeCloseTo(solved.value.b, 15);
    expect(REFERENCE_PROBE.c).toBeCloseTo(solved.value.c, 18);
  });

  test.each([0, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50])(
    'reads the row at %i C within 0.01 K',
    (tempC) => {
      expect(Math.abs(temperatureC(rowAt(tempC).ohm) - tempC)).toBeLessThan(0.01);
    },
  );

  test('is still within 0.05 K at 85 C', () => {
    expect(temperatureC(rowAt(85).ohm) - 85).toBeCloseTo(0.036, 2);
  });

  test('the four-term form of the same document agrees within 0.02 K (coefficients from memory)', () => {
    for (const { tempC, ohm } of TABLE_3977.filter((row) => row.tempC >= 0)) {
      const x = Math.log(ohm / 10_000);
      const inverseK = 3.354016e-3 + x * (2.56985e-4 + x * (2.620131e-6 + x * 6.383091e-8));
      expect(Math.abs(1 / inverseK - KELVIN_AT_0C - tempC)).toBeLessThan(0.02);
      expect(Math.abs(temperatureC(ohm) - (1 / inverseK - KELVIN_AT_0C))).toBeLessThan(0.05);
    }
  });

  test.each([
    [0, 0.76],
    [10, 0.4],
    [20, 0.12],
    [25, 0],
    [30, -0.1],
    [40, -0.24],
    [50, -0.31],
  ])(
    'a B value alone misses the row at %d C by %d K, so it is not used for the probe',
    (tempC, missK) => {
      expect(Math.abs(temperatureC(rowAt(tempC).ohm, LINEAR_B) - tempC - missK)).toBeLessThan(0.02);
    },
  );
});

describe('the B formula (IEC 60539-1)', () => {
  test.each([
    [3950, 0, 33620.6],
    [3950, 10, 20174.6],
    [3950, 20, 12535.3],
    [3950, 40, 5301.5],
    [3950, 50, 3588.2],
    [3977, 0, 33900.4],
    [3977, 30, 8025.1],
    [3977, 50, 3563.1],
  ])('10 k with B %d K has at %d C %d ohm', (b, tempC, ohm) => {
    const curve = curveFromB({ b, t1C: 25, t2C: 85 }, 10_000);
    expect(Math.abs(resistanceOhm(tempC, curve) - ohm)).toBeLessThan(0.06);
  });

  test.each([
    [2048, 24.989],
    [1000, 52.796],
    [3000, 3.922],
  ])('behind 10 k on the low side with B 3950, code %d is %d C', (code, tempC) => {
    const curve = curveFromB({ b: 3950, t1C: 25, t2C: 50 }, 10_000);
    expect(Math.abs(temperatureFromCode(code, curve, 10_000) - tempC)).toBeLessThan(0.005);
  });

  test('sensitivity at 25 C is B/T^2: 4.47 %/K for B 3977', () => {
    const share = 1 - resistanceOhm(25.01, LINEAR_B) / resistanceOhm(25, LINEAR_B);
    expect(share / 0.01).toBeCloseTo(0.0447, 4);
  });

  test('0 C is 273.15 K: the 273.16 of a public FAO-56 example is the triple point, 0.01 K off', () => {
    expect(temperatureC(10_000, LINEAR_B)).toBeCloseTo(25, 9);
    expect(KELVIN_AT_0C).not.toBe(273.16);
  });
});

describe('another usual probe: 103AT (10 k, B25/85 3435)', () => {
  const rows = [0, 25, 50].map((tempC) => rowAt(tempC, TABLE_103AT));
  const [cold, middle, warm] = rows;
  if (!cold || !middle || !warm) throw new Error('no such rows');

  test.each(TABLE_103AT.filter(({ tempC }) => tempC >= -10 && tempC <= 60))(
    'three of its rows give the one at $tempC C within 0.02 K: its four digits tell no more',
    ({ tempC, ohm }) => {
      const curve = fitted([warm, cold, middle]);
      expect(curve.ok && Math.abs(temperatureC(ohm, curve.value) - tempC)).toBeLessThan(0.02);
    },
  );

  test('its B25/85 alone is off by 1.1 K at 0 C, 0.6 at 10 and 0.3 at 40: one B knows no more', () => {
    const curve = curveFromB({ b: 3435, t1C: 25, t2C: 85 }, 10_000);
    const offK = (tempC: number) => temperatureC(rowAt(tempC, TABLE_103AT).ohm, curve) - tempC;
    expect([0, 10, 40].map((tempC) => Number(offK(tempC).toFixed(1)))).toEqual([1.1, 0.6, -0.3]);
  });

  test('its table has no suspect row, and its B is that of the data sheet', () => {
    expect(suspectRows(TABLE_103AT)).toEqual({ ok: true, value: [] });
    expect(bOfTable(TABLE_103AT, 25, 85)).toBeCloseTo(3435, -1);
  });
});

describe('misprints and mislabelled parts', () => {
  const misprinted = (tempC: number, ohm: number): TableRow[] =>
    TABLE_3977.map((row) => (row.tempC === tempC ? { tempC, ohm } : row));

  test('the table as published has no suspect row', () => {
    expect(suspectRows(TABLE_3977)).toEqual({ ok: true, value: [] });
  });

  test('one wrong digit in the 40 C row, as printed in a laser-driver manual, is found', () => {
    const found = suspectRows(misprinted(40, 5430));
    expect(found.ok && found.value.map((row) => row.tempC)).toEqual([40]);
    expect(found.ok && found.value[0]?.readsC).toBeCloseTo(39.53, 1);
  });

  test.each(TABLE_3977.map((row) => row.tempC))(
    'a row at %d C off by 2 %% is found, and only that',
    (tempC) => {
      const found = suspectRows(misprinted(tempC, rowAt(tempC).ohm * 1.02));
      expect(found.ok && found.value.map((row) => row.tempC)).toEqual([tempC]);
    },
  );

  test('two wrong rows are both found', () => {
    const twice = misprinted(40, 5430).map((row) =>
      row.tempC === 10 ? { tempC: 10, ohm: 18972 } : row,
    );
    const found = suspectRows(twice);
    expect(found.ok && found.value.map((row) => row.tempC).sort()).toEqual([10, 40]);
  });

  test('a table mixed from two parts is refused as a whole, and so is one too short to judge', () => {
    const other = curveFromB({ b: 3435, t1C: 25, t2C: 85 }, 10_000);
    const mixed = TABLE_3977.map((row, i) =>
      i % 2 === 0 ? row : { tempC: row.tempC, ohm: resistanceOhm(row.tempC, other) },
    );
    const verdict = suspectRows(mixed);
    expect(verdict.ok ? '' : verdict.why).toMatch(/More than a quarter/);
    const short = suspectRows(TABLE_3977.slice(0, 5));
    expect(short.ok ? '' : short.why).toMatch(/At least six rows/);
  });

  test('B of this part is 3977 K for 25/85 and 3932 K for 25/50', () => {
    expect(bOfTable(TABLE_3977, 25, 85)).toBeCloseTo(3977, -1);
    expect(bOfTable(TABLE_3977, 25, 50)).toBeCloseTo(3932, 0);
    expect(bOfCurve(REFERENCE_PROBE, 25, 50).b).toBeCloseTo(3932, 0);
  });

  test('B 3977 labelled 25/50 is refused, and the pair it belongs to is named', () => {
    const verdict = checkBPair({ b: 3977, t1C: 25, t2C: 50 }, TABLE_3977);
    expect(verdict.ok ? '' : verdict.why).toMatch(/B25\/50 .* 3932 K, not 3977 K.*B25\/85/);
    expect(checkBPair({ b: 3977, t1C: 25, t2C: 85 }, TABLE_3977).ok).toBe(true);
  });

  test('B 3950 fits neither pair of this part', () => {
    expect(checkBPair({ b: 3950, t1C: 25, t2C: 50 }, TABLE_3977).ok).toBe(false);
    expect(checkBPair({ b: 3950, t1C: 25, t2C: 85 }, TABLE_3977).ok).toBe(false);
  });

  const formula = curveFromB({ b: 3950, t1C: 25, t2C: 50 }, 10_000);
  const row = (tempC: number, ohm: number): TableRow => ({ tempC, ohm });
  test.each<[string, [TableRow, TableRow, TableRow], RegExp]>([
    ['the same row twice', [row(0, 32554), row(25, 10000), row(25, 10000)], /alike/],
    ['rows closer than 5 K', [row(0, 32554), row(25, 10000), row(27, 9170)], /closer/],
    ['the same resistance twice', [row(0, 32554), row(25, 10000), row(50, 10000)], /must fall/],
    ['a PTC', [row(0, 3605), row(25, 10000), row(50, 32554)], /must fall/],
    ['swapped rows', [row(0, 10000), row(25, 32554), row(50, 3605)], /must fall/],
    [
      'rows computed from B',
      [row(0, resistanceOhm(0, formula)), row(25, 10000), row(50, resistanceOhm(50, formula))],
      /one line/,
    ],
    ['a straight line in ohm', [row(0, 30000), row(25, 20000), row(50, 10000)], /Check/],
    ['a misprinted middle row', [row(0, 32554), row(25, 11000), row(50, 3605)], /misprint/],
    ['no resistance', [row(0, 32554), row(25, 0), row(50, 3605)], /above 0 ohm/],
    ['not a number', [row(Number.NaN, 32554), row(25, 10000), row(50, 3605)], /temperature/],
  ])('refuses %s', (_what, rows, why) => {
    const verdict = fitted(rows);
    expect(verdict.ok ? 'accepted' : verdict.why).toMatch(why);
  });
});

describe('self-heating at 3.3 V behind 10 k, 25 C (dissipation factors of bead thermistor data sheets)', () => {
  test.each([
    [3.3, 1.5, 0.182],
    [3.3, 3, 0.091],
    [3.3, 7, 0.039],
    [5, 1.5, 0.417],
  ])('%d V and %d mW/K: %d K', (volt, dissipation, kelvin) => {
    expect(selfHeatingK(10_000, volt, dissipation, 1, 10_000) / kelvin).toBeCloseTo(1, 1);
  });

  test('excitation one tenth of the time heats a tenth as much', () => {
    expect(selfHeatingK(10_000, 3.3, 1.5, 0.1, 10_000)).toBeCloseTo(0.01815, 5);
  });
});

describe('the limiter codes of the board on this curve', () => {
  test('root zone 40 C and mat 55 C, to the nearest code', () => {
    expect(LIMITER.rootZoneHotCode).toBe(Math.round(codeFromTemperature(40)));
    expect(LIMITER.matHotCode).toBe(Math.round(codeFromTemperature(55)));
  });

  test('the plausible window is 500 ohm to 200 kohm (common practice), wider than -30 to 110 C', () => {
    expect(ohmFromCode(LIMITER.openCode) / 200_000).toBeCloseTo(1, 2);
    expect(ohmFromCode(LIMITER.shortCode) / 500).toBeCloseTo(1, 2);
    expect(temperatureFromCode(LIMITER.openCode)).toBeLessThan(-30);
    expect(temperatureFromCode(LIMITER.shortCode)).toBeGreaterThan(110);
  });

  test('a code at either end of the scale is no temperature', () => {
    for (const code of [0, 4095, -1, 5000, Number.NaN]) {
      expect(temperatureFromCode(code)).toBeNaN();
    }
  });
});
