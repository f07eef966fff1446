import { describe, expect, it } from 'vitest';
import { thingOnG } from '../../firmware/control/ledger';
import { isAway } from '../../firmware/control/weight';
import { HOUR_MS, SECOND_MS } from '../../shared/units/time';
import { QUIET_S, TRAY, TrayOnScale, unevenly } from './tray-on-scale';

/** For ten minutes water runs off, 40 g in all. */
function drains(tray: TrayOnScale): void {
  const fromG = tray.grams;
  for (let s = 1; s <= 600; s++) tray.read(fromG - s / 15, true);
}

describe('weight of a tray that was away, or that nobody could weigh', () => {
  it('gained beside the scale is water: soaked for half an hour and put back', () => {
    const tray = new TrayOnScale(3_900);
    tray.byHand(-3_900);
    tray.byHand(4_550);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_550, 6);
  });

  it('gained beside the scale is a thing where more goes than it gained, by no more than it may have dried there', () => {
    for (const [goesG, waterG] of [
      [300, 3_700],
      [900, 4_000],
    ] as const) {
      const tray = new TrayOnScale(3_900);
      tray.byHand(-3_900);
      tray.byHand(4_000);
      tray.byHand(-goesG);
      expect(tray.waterG).toBeCloseTo(waterG, 6);
      tray.byHand(goesG);
      expect(tray.waterG).toBeCloseTo(4_000, 6);
    }
  });

  it('is back as light as a cloth may draw it beside the scale, where that was seen to draw as it went', () => {
    for (const [wentG, losesGPerH, isBack] of [
      [4_000, 540, true],
      [4_000, 200, false],
      // What it loses is its flood, and ends.
      [4_590, 540, false],
    ] as const) {
      const tray = new TrayOnScale(wentG);
      tray.losesGPerMs = losesGPerH / HOUR_MS;
      tray.byHand(-wentG);
      tray.rest((3 * HOUR_MS) / SECOND_MS);
      tray.byHand(1_900);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(!isBack);
      expect(tray.waterG).toBeCloseTo(isBack ? 1_900 : wentG, 6);
    }
  });

  it('lifted for seconds, and back lighter by more than a lid weighs that stands on it, has dried; by less, lacks its lid', () => {
    for (const [lessG, waterG] of [
      [250, 3_950],
      [150, 4_200],
    ] as const) {
      const tray = new TrayOnScale(4_200);
      for (let s = 0; s < 10; s++) tray.read(0, true);
      tray.byHand(4_200 - lessG);
      expect(tray.waterG).toBeCloseTo(waterG, 6);
      tray.byHand(lessG);
      expect(tray.waterG).toBeCloseTo(4_200, 6);
    }
  });

  it('is away when it is held up beside a weight that stands on the scale', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(2_400);
    tray.read(2_400, false);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.read(6_900, false);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
  });

  it('is away too when the weight beside which it is held up weighs nearly the same', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(3_950);
    tray.byHand(-4_000);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(4_000);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_000, 6);
    tray.byHand(-3_950);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_000, 6);
  });

  it('is away though the hand that lifts it puts a thing in its place, until what stands there may be it', () => {
    const tray = new TrayOnScale(4_500);
    tray.read(0, false);
    tray.read(0, false);
    tray.byHand(870);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(4_400);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    tray.byHand(-870);
    expect(tray.waterG).toBeCloseTo(4_400, 6);
  });

  it('is back at once in the hand that lifted it, a little drier or without what stood on it', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(1_000);
    for (const backG of [5_500, 4_400]) {
      tray.read(0, false);
      tray.read(0, false);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
      tray.read(backG, false);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    }
  });

  it('is away as a hand lifts it seconds after it put a thing there, shaken or not, until what stands there may be it', () => {
    const tray = new TrayOnScale(4_500);
    const shaken = (grams: number): void => {
      for (let s = 0; s < 5; s++) tray.read(grams + 40 * Math.sin(s), false);
    };
    shaken(7_900);
    shaken(3_400);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    shaken(7_800);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    shaken(3_400);
    tray.byHand(0);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
  });

  it('is there as a hand puts a thing on it and takes that off again, and more with it', () => {
    const tray = new TrayOnScale(4_500);
    for (const grams of [4_500 + 3_400, 4_500, 3_600]) {
      for (let s = 0; s < 5; s++) tray.read(grams, false);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    }
    for (const grams of [3_600 + 3_400, 3_600]) {
      for (let s = 0; s < 5; s++) tray.read(grams, false);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    }
  });

  it('is away when it leaves what had passed for water, which was a thing beside it', () => {
    const tray = new TrayOnScale(3_560);
    tray.byHand(876);
    expect(thingOnG(tray.state.ledger)).toBe(0);
    tray.byHand(-3_558);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(3_550);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(3_552, 6);
  });

  it('that it lost while the scale was silent was dried, and no thing taken off meanwhile is mistaken for it', () => {
    for (const thingG of [0, 454]) {
      const tray = new TrayOnScale(4_200);
      if (thingG > 0) tray.byHand(thingG);
      tray.unweighed(3, 25);
      tray.byHand(-thingG);
      expect(tray.foreignG).toBe(0);
      expect(tray.waterG).toBeCloseTo(4_125, 6);
    }
  });

  it('that is less after a power cut has dried, and is no thing taken off', () => {
    const tray = new TrayOnScale(4_500);
    tray.cutOff(-160);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_340, 6);
  });

  it('that is much less after hours in which the scale was silent has dried; after minutes a lid was taken off', () => {
    for (const [hours, lostG, foreignG] of [
      [6, 465, 0],
      [0.2, 350, -350],
    ] as const) {
      const tray = new TrayOnScale(4_500);
      tray.unweighed(hours, 0);
      tray.byHand(-lostG);
      expect(tray.foreignG).toBeCloseTo(foreignG, 6);
    }
  });

  it('dried through a power cut besides what was taken off or put back in it', () => {
    for (const [thingG, foreignG] of [
      [350, 0],
      [-350, 0],
    ] as const) {
      const tray = new TrayOnScale(4_500);
      tray.byHand(thingG);
      tray.cutOff(-thingG - 120);
      expect(tray.foreignG).toBeCloseTo(foreignG, 6);
      expect(tray.waterG).toBeCloseTo(4_380, 6);
    }
  });

  it('is as it was when a thing came whole and went whole, though a little was missing before', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(-19);
    tray.byHand(549);
    tray.byHand(-549);
    expect(tray.state.ledger).toHaveLength(1);
    expect(tray.waterG).toBeCloseTo(4_500, 6);
  });

  it('is there again, a little drier, though nobody has said yet what it holds', () => {
    for (const dryG of [TRAY.dryG, Number.NaN]) {
      const tray = new TrayOnScale(2_686, { ...TRAY, capacityG: Number.NaN, dryG });
      tray.byHand(-2_686);
      tray.byHand(5_000);
      expect(isAway(tray.state, tray.grams, dryG)).toBe(true);
      tray.byHand(-5_000);
      tray.byHand(2_456);
      expect(isAway(tray.state, tray.grams, dryG)).toBe(false);
      expect(tray.waterG).toBeCloseTo(2_456, 6);
    }
  });

  it('may be a fifth less when it comes back after hours beside the scale, and not when it was away for minutes', () => {
    for (const [hours, away] of [
      [2.5, false],
      [0.2, true],
    ] as const) {
      const tray = new TrayOnScale(4_500);
      tray.byHand(-4_500);
      tray.rest(hours * 3_600);
      tray.byHand(3_640);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(away);
    }
  });

  it('is not what weighs less than the dry tray, however long it dried, but may be it without its plants', () => {
    for (const [plantsG, away] of [
      [0, true],
      [60, false],
    ] as const) {
      const tray = new TrayOnScale(1_500, { ...TRAY, dryG: TRAY.dryG + plantsG, plantsG });
      tray.byHand(-1_500);
      tray.rest(15 * 3_600);
      tray.byHand(TRAY.dryG - 50 + plantsG);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(away);
      tray.byHand(40 - plantsG);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    }
  });

  it('is lifted from beside a weight that came with a soaking, of which some has run off since', () => {
    const tray = new TrayOnScale(4_450);
    tray.byHand(2_760);
    drains(tray);
    tray.read(tray.grams - 4_610, false);
    tray.read(tray.grams, false);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.rest(2 * 3_600);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(4_590);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_590, 6);
  });

  it('holds nothing of what drains in its place', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(-4_500);
    tray.byHand(7_200);
    drains(tray);
    tray.byHand(110);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(-2_600);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(tray.grams, 6);
  });

  it('brings no water by what was put in its place meanwhile, beside what had stood there', () => {
    for (const g of [100, 300, 500]) {
      const tray = new TrayOnScale(4_300);
      tray.byHand(1_000);
      tray.byHand(-4_300);
      tray.byHand(g);
      tray.byHand(4_300);
      expect(tray.waterG).toBeCloseTo(4_300, 6);
      expect(tray.foreignG).toBeCloseTo(1_000 + g, 6);
    }
  });

  it('is known again when it comes back without what had flooded it', () => {
    const tray = new TrayOnScale(4_500);
    for (let s = 0; s < 900; s++) tray.read(tray.grams + unevenly(s), false);
    tray.rest(QUIET_S + 30);
    tray.byHand(-tray.grams);
    tray.byHand(4_560);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_560, 6);
  });

  it('is known again when a tray comes back without what stood on it, or what it could not hold', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(620);
    tray.byHand(-5_120);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(4_400);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_400, 6);
    expect(thingOnG(tray.state.ledger)).toBe(0);
  });

  it('is as wet as it went when it comes back without the thing that lay in it, though it could have dried', () => {
    const tray = new TrayOnScale(4_590);
    tray.byHand(396);
    tray.byHand(-4_986);
    tray.byHand(4_588);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_588, 6);
  });

  it.each([
    { tookG: 336, seems: 'less, for it was watered meanwhile' },
    { tookG: 456, seems: 'more, for it had dried' },
  ])(
    'has dried beside its scale, and lost no thing there that was taken off before and seemed $seems',
    ({ tookG }) => {
      const tray = new TrayOnScale(4_590);
      tray.byHand(396);
      tray.byHand(-tookG);
      const backG = tray.grams - 400;
      tray.byHand(-tray.grams);
      tray.byHand(backG);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
      expect(tray.waterG).toBeLessThanOrEqual(backG + 60);
    },
  );

  it.each([200, 800])(
    'seems no wetter where a thing is left beside its scale and a lid of %i g is off, and is known as that is back',
    (lidG) => {
      const tray = new TrayOnScale(4_590);
      tray.byHand(900);
      tray.byHand(-lidG);
      tray.byHand(-tray.grams);
      tray.byHand(4_585 - lidG);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
      expect(tray.waterG).toBeLessThanOrEqual(4_585);
      tray.byHand(lidG);
      expect(tray.waterG).toBeCloseTo(4_585, 6);
    },
  );

  it('soaked beside its scale is full, though a lid that was taken off before is off still', () => {
    const tray = new TrayOnScale(4_000);
    tray.byHand(-300);
    tray.byHand(-3_700);
    tray.byHand(4_290);
    expect(tray.waterG).toBeCloseTo(4_590, 6);
  });

  it('is known again when it comes back without a thing that had passed for water', () => {
    const tray = new TrayOnScale(1_200);
    tray.byHand(796);
    tray.byHand(-1_996);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(1_190);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(1_190, 6);
  });

  it.each([
    ['filled it', [2_890], 1_690, false],
    ['came before it was filled', [1_500, 1_390], 3_080, false],
    ['did not fill it', [2_600], 1_690, true],
    ['came before a little that filled it', [2_600, 290], 1_690, true],
    ['came after it was filled', [2_890, 150], 4_580, true],
  ] as const)(
    'may be what weighs less by what was poured, as by a thing, but for a soaking and what came before: what %s',
    (_, poured, backG, isBack) => {
      const tray = new TrayOnScale(1_700);
      for (const g of poured) tray.byHand(g);
      expect(tray.waterG).toBeCloseTo(tray.grams, 6);
      tray.byHand(-tray.grams);
      tray.byHand(backG);
      expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(!isBack);
    },
  );

  it('is not made of a weight that stands there while the tray is away', () => {
    const tray = new TrayOnScale(4_200);
    tray.byHand(-4_200);
    tray.byHand(2_000);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    tray.byHand(-2_000);
    tray.byHand(4_190);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_190, 6);
  });
});
