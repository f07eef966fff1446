import { describe, expect, test } from 'vitest';
import { LID_EFFECTS, topLossWM2K } from '../../firmware/bench/plant/lid';
import { MAT, ThermalMasses } from '../../firmware/bench/plant/thermal';
import { fluxNeededWM2, matBudget, steadyRises, upwardLossWM2 } from '../../hardware/budget/mat';
import { matFuseA } from '../../hardware/verdicts/mat-verdicts';
import type { ReportInput } from '../../hardware/verdicts/verdict';
import { report, tray, verdict } from './builds';

describe('the mat', () => {
  test('the closed form is the steady state of the bench model', () => {
    const masses = new ThermalMasses(MAT, 18);
    const topWM2K = topLossWM2K(LID_EFFECTS.closed);
    const riseK = steadyRises(120, 'closed').rootZoneK;
    const evaporationWM2 = upwardLossWM2(riseK, 'closed') - topWM2K * riseK;
    const lossWK = topWM2K * MAT.areaM2;
    for (let second = 0; second < 200_000; second++) {
      masses.step(
        1,
        120 * MAT.areaM2,
        { capacityJK: 2000, lossWK, evaporationW: evaporationWM2 * MAT.areaM2, onMat: true },
        18,
      );
    }
    const { rootZoneK, matK } = steadyRises(120, 'closed');
    expect(masses.rootZoneC - 18).toBeCloseTo(rootZoneK, 2);
    expect(masses.matC - 18).toBeCloseTo(matK, 2);
  });

  test('flux and rise are each other’s inverse', () => {
    expect(fluxNeededWM2(steadyRises(100, 'closed').rootZoneK, 'closed')).toBeCloseTo(100, 9);
    expect(fluxNeededWM2(steadyRises(100, 'off').rootZoneK, 'off')).toBeCloseTo(100, 9);
  });

  test('60 to 120 W/m² give 6 to 14 K, the published 6 to 11 K of heated beds and a little for the lid', () => {
    expect(steadyRises(60, 'closed').rootZoneK).toBeGreaterThan(5.6);
    expect(steadyRises(120, 'closed').rootZoneK).toBeLessThan(14);
    expect(steadyRises(120, 'off').rootZoneK).toBeLessThan(
      0.6 * steadyRises(120, 'closed').rootZoneK,
    );
  });

  test('a band out of reach is refused with the flux that would do', () => {
    const refused = verdict('mat-reach', { roomC: 10, bandHighC: 28 });
    expect(refused?.level).toBe('refused');
    const flux = Number(/about (\d+) W/.exec(refused?.sentence ?? '')?.[1]);
    expect(verdict('mat-reach', { roomC: 10, bandHighC: 28, matWM2: flux })?.level).toBe('fits');
  });

  test('a strong mat in a hot room is a caution: stuck on, it would cook the crop', () => {
    expect(verdict('mat-stuck-on', { roomMaxC: 35 })?.level).toBe('caution');
    expect(verdict('mat-stuck-on', { roomMaxC: 22, matWM2: 80 })?.level).toBe('fits');
  });

  test('roots of 39 °C behind a failed switch are no "fits", and a mat for its cut-out is refused', () => {
    const warm = verdict('mat-stuck-on', { roomMaxC: 26 });
    expect(report({ roomMaxC: 26 }).mat.stuckRootZoneC).toBeCloseTo(39, 0);
    expect(warm?.level).toBe('caution');
    expect(warm?.sentence).not.toContain('crop is lost');
    const half = { tray: tray('half-40'), cellG: 5000 };
    const cooking = verdict('mat-stuck-on', { ...half, matWM2: 1000 });
    expect(cooking?.level).toBe('refused');
    expect(cooking?.sentence).toContain('more than 75');
    expect(verdict('mat-reach', { ...half, matWM2: 1000 })?.level).toBe('caution');
  });

  test('a room hotter than the controller bears is refused, a hot or freezing one pointed out', () => {
    expect(verdict('room', { roomMaxC: 45 })?.level).toBe('refused');
    expect(report({ roomMaxC: 45 }).fits).toBe(false);
    expect(verdict('room', { roomMaxC: 37 })?.level).toBe('caution');
    expect(verdict('room', { roomC: 2 })?.level).toBe('caution');
    expect(verdict('room')?.level).toBe('fits');
  });

  test('a band that the limiter never lets be held is refused', () => {
    expect(verdict('band', { bandHighC: 40 })?.level).toBe('refused');
    expect(verdict('band', { bandHighC: 38 })).toBeUndefined();
  });

  test('the fuse follows the mat, and the supply can blow it or says that it cannot', () => {
    const fuse = (change: Partial<ReportInput>) =>
      report(change).fuses.find((line) => line.fuse === 'F2')?.ratedA;
    // 15.5 W: 0.65 A at 24 V, 1.3 A at 12 V; ISO 8820-3 lets a fuse carry three quarters for ever.
    expect(fuse({})).toBe(1);
    expect(fuse({ railV: 12 })).toBe(2);
    expect(fuse({ railV: 12, matWM2: 270 })).toBe(4);
    expect(verdict('mat-fuse')?.sentence).toContain('1 A into F2');
    expect(verdict('supply')?.level).toBe('fits');
    expect(verdict('supply')?.sentence).toContain('40 to 100 W');
    expect(verdict('supply', { matWM2: 500 })?.level).toBe('caution');
  });

  test('the fuse carries every mat for ever, and never more than the mat’s wires bear', () => {
    for (let amps = 0.05; amps <= 3; amps += 0.05) {
      expect(matFuseA(amps) * 0.75).toBeGreaterThanOrEqual(amps - 1e-9);
      expect(matFuseA(amps)).toBeLessThanOrEqual(4);
      expect(matFuseA(amps)).toBeGreaterThanOrEqual(matFuseA(amps - 0.04));
    }
  });

  test('a mat beyond the output is refused', () => {
    expect(verdict('mat-current', { railV: 12, matWM2: 300 })?.level).toBe('refused');
    expect(verdict('mat-current', { railV: 24, matWM2: 300 })?.level).toBe('fits');
  });

  test('the duty is the share of the flux that the band needs', () => {
    const budget = matBudget({
      fluxWM2: 120,
      areaM2: 0.129,
      roomC: 16,
      roomMaxC: 26,
      bandHighC: 27,
    });
    expect(budget.dutyShare).toBeCloseTo(fluxNeededWM2(11, 'closed') / 120, 9);
    expect(budget.powerW).toBeCloseTo(15.48, 2);
  });
});
