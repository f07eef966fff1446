import { describe, expect, test } from 'vitest';
import { thermalTimeOf } from '../../shared/physics/thermal-time';
import { emergencePace, type NewlyUp, newlyUp } from '../../shared/statistics/germination';
import {
  REPLICATES_FROM_PERCENT,
  replicateRange,
  twoTestsTolerance,
} from '../../shared/statistics/tolerances';

/** Newly up on days from `first` on. */
const rowsFrom = (first: number, counts: readonly number[]): NewlyUp[] =>
  counts.map((count, i) => ({ day: first + i, count }));

function paceOf(first: number, counts: readonly number[]) {
  const pace = emergencePace(rowsFrom(first, counts));
  if (pace === null) throw new Error('none came up');
  return pace;
}

// Aravind et al., germinationmetrics 0.1.10, vignette "Introduction": data set gcdata, counts of days 4 to 13.
describe('indices of germination (package germinationmetrics, table of results)', () => {
  test.each([
    [
      'G1 1',
      [0, 4, 17, 10, 7, 1, 0, 1, 0, 0],
      5.970588,
      5.941176,
      6.7,
      1.446154,
      0.70922,
      0.266667,
      2.062987,
    ],
    [
      'G2 1',
      [1, 3, 15, 13, 6, 2, 1, 0, 1, 0],
      6.192308,
      6.153846,
      6.857143,
      2.027875,
      0.505155,
      0.234611,
      2.321514,
    ],
    [
      'G5 1',
      [0, 5, 20, 12, 8, 1, 0, 0, 1, 1],
      5.975,
      5.95,
      6.8125,
      2.368351,
      0.431218,
      0.260638,
      2.146051,
    ],
    [
      'G1 2',
      [0, 3, 21, 11, 7, 1, 1, 1, 1, 0],
      5.97619,
      5.952381,
      6.869565,
      2.071498,
      0.49347,
      0.279227,
      2.160545,
    ],
    [
      'G2 2',
      [0, 4, 18, 11, 7, 1, 0, 1, 0, 0],
      5.972222,
      5.944444,
      6.690476,
      1.389663,
      0.73715,
      0.272938,
      2.040796,
    ],
    [
      'G5 2',
      [0, 4, 18, 13, 6, 2, 1, 0, 1, 0],
      6.076923,
      6.038462,
      6.822222,
      1.831313,
      0.558467,
      0.255556,
      2.187983,
    ],
    [
      'G2 3',
      [0, 3, 20, 10, 7, 1, 1, 1, 1, 0],
      5.975,
      5.95,
      6.886364,
      2.149577,
      0.476027,
      0.273784,
      2.185245,
    ],
    [
      'G4 3',
      [0, 3, 21, 11, 6, 1, 0, 1, 1, 0],
      5.928571,
      5.904762,
      6.772727,
      1.900634,
      0.538376,
      0.299154,
      2.03768,
    ],
  ])('%s', (_, counts, coolbear, farooq, mean, variance, uniformity, synchrony, uncertainty) => {
    const pace = paceOf(4, counts);
    expect(pace.t50CoolbearDay).toBeCloseTo(coolbear, 6);
    expect(pace.t50FarooqDay).toBeCloseTo(farooq, 6);
    expect(pace.meanDays).toBeCloseTo(mean, 6);
    expect(pace.sdDays ** 2).toBeCloseTo(variance, 6);
    expect(pace.uniformityPerDay2).toBeCloseTo(uniformity, 6);
    expect(pace.synchrony).toBeCloseTo(synchrony, 6);
    expect(pace.uncertaintyBit).toBeCloseTo(uncertainty, 6);
  });

  test('of the first data set: standard error, velocity and speed as printed', () => {
    const pace = paceOf(4, [0, 4, 17, 10, 7, 1, 0, 1, 0, 0]);
    expect(pace.seDays).toBeCloseTo(0.190142, 6);
    expect(pace.velocityPercentPerDay).toBeCloseTo(14.925373, 6);
    expect(pace.speedPerDay).toBeCloseTo(6.138925, 6);
    expect(pace.cvTimePercent).toBeCloseTo((100 * Math.sqrt(1.446154)) / 6.7, 5);
  });

  test('T50 on the day where a count meets the half exactly, not the late one that is printed', () => {
    // G4 2: 23 of 45 were up on day 6, and 23 is (45 + 1) / 2. Printed: 6.310345.
    const exact = paceOf(4, [1, 3, 19, 10, 8, 1, 1, 1, 1, 0]);
    expect(exact.t50CoolbearDay).toBeCloseTo(6, 9);
    expect(exact.t50FarooqDay).toBeCloseTo(5.973684, 6);
    // G5 3: 21 of 42 were up on day 6. Printed: 6.259259.
    const half = paceOf(4, [0, 4, 17, 10, 8, 1, 1, 1, 0, 0]);
    expect(half.t50FarooqDay).toBeCloseTo(6, 9);
    expect(half.t50CoolbearDay).toBeCloseTo(6.05, 6);
  });

  test('of cumulative counts (thermgRad example): 6.67 and 6.75 days to half, 7.45 on the mean', () => {
    const standing = [0, 0, 0, 0, 0, 6, 12, 15, 18, 20];
    const rows = newlyUp(standing.map((up, i) => ({ day: i + 1, standing: up })));
    const pace = emergencePace(rows);
    expect(pace?.t50FarooqDay).toBeCloseTo(6.666667, 6);
    expect(pace?.t50CoolbearDay).toBeCloseTo(6.75, 6);
    expect(pace?.meanDays).toBeCloseTo(7.45, 6);
    expect(pace?.synchrony).toBeCloseTo(0.194737, 6);
  });
});

describe('tolerances of official seed tests', () => {
  test.each([
    [99, 5, null],
    [98, 6, null],
    [97, 7, 6],
    [96, 8, 6],
    [95, 9, 7],
    [94, 10, 8],
    [92, 11, 9],
    [90, 12, 9],
    [89, 12, 10],
    [88, 13, 10],
    [87, 13, 11],
    [86, 14, 11],
    [83, 15, 12],
    [80, 16, 13],
    [77, 17, 13],
    [76, 17, 13],
    [75, 17, 14],
    [72, 18, 14],
  ])('%d %% of four hundreds may range by %d, of two by %p (7 CFR 201.55)', (mean, four, two) => {
    expect(replicateRange(4, mean)).toBe(four);
    expect(replicateRange(2, mean)).toBe(two);
    // The table's second column: so many per cent that did not come up.
    expect(replicateRange(4, 101 - mean)).toBe(four);
  });

  test.each([
    [99, 2],
    [98, 3],
    [95, 4],
    [93, 5],
    [88, 6],
    [86, 7],
    [80, 8],
    [72, 9],
    [65, 10],
    [55, 11],
    [10, 5],
  ])('two tests of 400 seeds with a mean of %d %% may differ by %d (AOSA)', (mean, points) => {
    expect(twoTestsTolerance(mean)).toBe(points);
  });

  test('are not known for replicates whose mean is nearer to half: the printed table goes on there', () => {
    for (const mean of [70, 60, 51, 45, 31]) expect(replicateRange(4, mean)).toBeNull();
    expect(replicateRange(4, REPLICATES_FROM_PERCENT)).toBe(18);
    expect(replicateRange(4, 101 - REPLICATES_FROM_PERCENT)).toBe(18);
  });

  test('have no figure for all or none', () => {
    expect(twoTestsTolerance(100)).toBeNull();
    expect(replicateRange(4, 100)).toBeNull();
    expect(replicateRange(4, 0)).toBeNull();
  });
});

describe('thermal time', () => {
  test('of parsnip, 57 27 19 14 days at 5 to 20 C (Harrington and Minges 1954): base -0.1 C, 282 C d', () => {
    const days = [57, 27, 19, 14];
    const fit = thermalTimeOf(days.map((one, i) => ({ atC: 5 + 5 * i, days: one })));
    expect(fit?.baseC).toBeCloseTo(-0.1, 1);
    expect(fit && Math.abs(fit.sumCDays - 282)).toBeLessThan(1);
  });
});
