import { describe, expect, it } from 'vitest';
import { NO_WEIGHT, nextWeight } from '../../firmware/control/weight';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_S, SECOND_MS } from '../../shared/units/time';
import { QUIET_S, TRAY, TrayOnScale } from './tray-on-scale';

describe('a hand on the tray', () => {
  it('is noticed at once by a jump in either direction, and is over when it is quiet long enough', () => {
    for (const jumpG of [-WEIGHT_LIMITS.handlingG - 1, WEIGHT_LIMITS.handlingG + 1]) {
      const tray = new TrayOnScale(4_000);
      tray.read(4_000 + jumpG, false);
      expect(tray.handled).toBe(true);
      tray.rest(QUIET_S - 1);
      expect(tray.handled).toBe(true);
      tray.rest(2);
      expect(tray.handled).toBe(false);
    }
  });

  it('still there as long as the weight moves', () => {
    const tray = new TrayOnScale(4_000);
    for (let s = 0; s < 3 * QUIET_S; s++) tray.read(4_000 + (s % 2) * 200, true);
    expect(tray.handled).toBe(true);
    for (let s = 0; s < 3 * QUIET_S; s++) tray.read(4_100, false);
    expect(tray.handled).toBe(true);
  });

  it('is gone although the tray leaks three grams a minute, and the leak is no thing taken off', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(20);
    for (let s = 0; s < 30 * 60; s++) tray.read(tray.grams - 0.05, true);
    expect(tray.handled).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_020 - 90, 0);
    expect(tray.foreignG).toBe(0);
  });

  it('is not a running pump, up to what the pump may give', () => {
    const tray = new TrayOnScale(4_000);
    for (const roseG of [25, 50, 54]) {
      tray.read(4_000 + roseG, false, 40);
      expect(tray.handled).toBe(false);
    }
    tray.read(4_000 + WEIGHT_LIMITS.handlingG + 41, false, 40);
    expect(tray.handled).toBe(true);
  });

  it('is what puts a thing down while the pump gives: that, and no part of the dose, stands there then', () => {
    const tray = new TrayOnScale(4_000);
    for (let s = 0; s < 60; s++) tray.read(tray.grams + 1.2, false, 360);
    expect(tray.handled).toBe(false);
    tray.read(tray.grams + 242, false, 360);
    expect(tray.handled).toBe(true);
    tray.rest(QUIET_S + 2);
    expect(tray.state.ledger).toMatchObject([{ stepG: 242 }]);
    for (let s = 0; s < 3_600; s++) tray.read(tray.grams - 0.01, true);
    tray.byHand(-242);
    expect(tray.state.ledger).toEqual([]);
    expect(tray.waterG).toBeCloseTo(4_072 - 36, 0);
  });

  it('is what takes a thing off while the pump gives, and none of the dose', () => {
    const tray = new TrayOnScale(TRAY.capacityG - 200);
    tray.byHand(600);
    for (let s = 0; s < 90; s++) tray.read(tray.grams + 1.2, false, 360);
    for (const byG of [-50, -250, -250, -50]) tray.read(tray.grams + byG, false, 360);
    tray.rest(QUIET_S + 2);
    expect(tray.state.ledger).toEqual([]);
    expect(tray.waterG).toBeCloseTo(TRAY.capacityG - 200 + 108, 0);
  });

  it('takes off all of a thing that it begins to lift slowly, above a tray that is more than full', () => {
    const tray = new TrayOnScale(TRAY.capacityG - 200);
    tray.byHand(300);
    tray.rest(3 * HOUR_S);
    for (const byG of [-12, -9, -40, -120, -119]) tray.read(tray.grams + byG, false);
    tray.rest(QUIET_S + 2);
    expect(tray.state.ledger).toEqual([]);
    expect(tray.waterG).toBeCloseTo(TRAY.capacityG - 200, 0);
  });

  it('takes off in one what came with the lid, as it seemed, that had been off before, or all of it but the lid', () => {
    for (const [wentG, stillOffG] of [
      [-375, -60],
      [-315, 0],
    ] as const) {
      const tray = new TrayOnScale(3_500);
      tray.byHand(-60);
      tray.byHand(375);
      expect(tray.foreignG).toBe(0);
      tray.byHand(wentG);
      expect(tray.foreignG).toBe(stillOffG);
      expect(tray.waterG).toBeCloseTo(3_500, 6);
    }
  });

  it('is not a fall that the pump could explain: a pump takes nothing off', () => {
    const tray = new TrayOnScale(4_000);
    tray.read(3_980, false, 100);
    expect(tray.handled).toBe(true);
  });
});

describe('slow change', () => {
  it('of any length is no hand: a tray dries and fills by itself', () => {
    const tray = new TrayOnScale(4_000);
    for (let s = 0; s < 5_000; s++) tray.read(4_000 - s * 0.1, true);
    for (let s = 0; s < 5_000; s++) tray.read(3_500 + s * 0.1, true);
    expect(tray.handled).toBe(false);
    expect(tray.foreignG).toBe(0);
  });

  it('is no hand either that comes to less than one, though it was faster for a while', () => {
    for (const way of [-1, 1]) {
      const tray = new TrayOnScale(4_000);
      for (let s = 0; s < 5; s++) tray.read(tray.grams + 4 * way, false);
      expect(tray.handled).toBe(true);
      for (let s = 0; s < 2; s++) tray.read(tray.grams - 4 * way, false);
      tray.rest(QUIET_S + 30);
      expect(tray.handled).toBe(false);
      expect(tray.state.ledger).toEqual([]);
      expect(tray.waterG).toBeCloseTo(4_000 + 12 * way, 6);
    }
  });

  it('and a scale that cannot say change nothing', () => {
    const tray = new TrayOnScale(4_000);
    const { ledger, settledG, hand } = tray.state;
    tray.read(Number.NaN, false);
    expect(tray.state).toMatchObject({ ledger, settledG, hand });
    const blind = tray.state;
    tray.read(Number.NaN, false);
    expect(tray.state).toBe(blind);
  });

  it('is followed only from the first settled weight on', () => {
    const first = nextWeight(NO_WEIGHT, {
      ...TRAY,
      uptimeMs: 0,
      dtMs: SECOND_MS,
      grams: 4_000,
      stable: false,
      noisyG: 0,
      driesGPerMs: 0,
      losesGPerMs: 0,
      expectedRiseG: 0,
      roseG: Number.NaN,
      matColderK: Number.NaN,
    });
    expect(first).toBe(NO_WEIGHT);
  });
});
