import { describe, expect, test } from 'vitest';
import {
  calibratePump,
  meanAndCv,
  mlFromSeconds,
  pumpDrift,
  secondsFromMl,
  systematicErrorPercent,
} from '../../shared/physics/pump';

describe('gravimetric calibration of the pump (ISO 8655-6: volume = reading x Z)', () => {
  test('59.73 g read in 60 s at 20 C is 0.9984 ml/s: Z is 1.0029', () => {
    const runs = [59.73, 59.73, 59.73].map((gainedG) => ({ ranS: 60, gainedG }));
    const made = calibratePump(runs, 20);
    expect(made.ok ? Math.abs(made.value.mlPerS - 0.9984) : 1).toBeLessThan(1e-4);
    expect(made.ok && made.value.cvPercent).toBeCloseTo(0, 9);
  });

  test('warm water is lighter: the same grams at 30 C are 0.25 % more millilitres', () => {
    const runs = [20, 20].map((gainedG) => ({ ranS: 20, gainedG }));
    const [cool, warm] = [calibratePump(runs, 20), calibratePump(runs, 30)];
    if (!cool.ok || !warm.ok) throw new Error('both must calibrate');
    const ratio = warm.value.mlPerS / cool.value.mlPerS;
    expect(Math.abs(ratio - 1.0054 / 1.0029)).toBeLessThan(1e-4);
  });

  test('random error is 100 s / mean with the sample standard deviation', () => {
    const { mean, cvPercent } = meanAndCv([9.8, 10, 10.2]);
    expect(mean).toBeCloseTo(10, 12);
    expect(cvPercent).toBeCloseTo(2, 9);
  });

  test('systematic error is the mean less what was set, in per cent of what was set', () => {
    expect(systematicErrorPercent(9.7, 10)).toBeCloseTo(-3, 9);
  });

  test("seconds and millilitres are each other's inverse", () => {
    expect(mlFromSeconds(secondsFromMl(40, 0.83), 0.83)).toBeCloseTo(40, 9);
  });

  const run = (ranS: number, gainedG: number) => ({ ranS, gainedG });
  test.each([
    ['a single run', [run(20, 20)], /at least two/],
    ['a run too short to be steady', [run(20, 20), run(1, 1)], /too short/],
    ['a run that gave nothing', [run(20, 20), run(20, 0)], /gained nothing/],
    ['a run that lost weight', [run(20, 20), run(20, -3)], /gained nothing/],
    ['a run without a weight', [run(20, 20), run(20, Number.NaN)], /gained nothing/],
  ])('refuses %s', (_what, runs, why) => {
    const verdict = calibratePump(runs);
    expect(verdict.ok ? 'accepted' : verdict.why).toMatch(why);
  });
});

describe('drift of the tube between calibrations (common practice: warn at 5 %, refuse at 15 %)', () => {
  test.each([
    [1.0, 'steady'],
    [0.96, 'steady'],
    [0.94, 'ageing'],
    [1.1, 'ageing'],
    [0.84, 'worn-out'],
    [Number.NaN, 'worn-out'],
  ])('from 1 ml/s to %d ml/s the tube is %s', (rate, verdict) => {
    expect(pumpDrift(1, rate)).toBe(verdict);
  });
});
