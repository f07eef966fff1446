import { describe, expect, it } from 'vitest';
import { thingOnG } from '../../firmware/control/ledger';
import { isAway } from '../../firmware/control/weight';
import { HOUR_MS } from '../../shared/units/time';
import { QUIET_S, TRAY, TrayOnScale } from './tray-on-scale';

/** What a cloth drew out of the tray while the power was cut, and a thing that was put on it meanwhile, g. */
const LOST_G = 370;
const THING_G = 1_300;

/** A moist tray, found again with the thing on it. */
function foundWithThing(): TrayOnScale {
  const tray = new TrayOnScale(4_500);
  tray.cutOff(THING_G - LOST_G);
  return tray;
}

describe('a thing put on a tray that dried while the power was cut', () => {
  it('seems lighter than it is, and shows as it is taken off: the tray has dried, and lacks no lid', () => {
    const tray = foundWithThing();
    expect(tray.foreignG).toBeCloseTo(THING_G - LOST_G, 6);
    tray.byHand(-THING_G);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_500 - LOST_G, 6);
  });

  it('shows as well as the tray is held up, and it stays', () => {
    const tray = foundWithThing();
    tray.byHand(LOST_G - 4_500);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
    expect(thingOnG(tray.state.ledger)).toBeCloseTo(THING_G, 6);
    tray.byHand(4_500 - LOST_G);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(false);
    expect(tray.waterG).toBeCloseTo(4_500 - LOST_G, 6);
    tray.byHand(-THING_G);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_500 - LOST_G, 6);
  });

  it('is no lid, where less goes than it seemed to weigh', () => {
    const tray = foundWithThing();
    tray.byHand(-350);
    expect(thingOnG(tray.state.ledger)).toBeCloseTo(THING_G - LOST_G, 6);
    expect(tray.waterG).toBeCloseTo(4_500, 6);
  });

  it('weighs what it seemed where it came before eyes: what goes with it was a lid', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(THING_G - LOST_G);
    tray.byHand(-THING_G);
    expect(tray.waterG).toBeCloseTo(4_500, 6);
  });
});

describe('a tray that was seen to leak as the scale fell silent', () => {
  const LEAKS_G_PER_H = 165;
  /** With a thing on it, or none; so much `changeG` more when it is weighed again. */
  const weighedAgain = (thingG: number, changeG: number): TrayOnScale => {
    const tray = new TrayOnScale(4_580);
    tray.byHand(thingG);
    tray.losesGPerMs = LEAKS_G_PER_H / HOUR_MS;
    tray.unweighed(5, 4);
    tray.byHand(changeG);
    return tray;
  };

  it('may have lost by as much for as long, and that is no thing taken off', () => {
    const tray = weighedAgain(0, -800);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_560 - 800, 6);
  });

  it('may have leaked no longer: then what stood on it was taken off', () => {
    const tray = weighedAgain(972, -972);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_560, 6);
  });
});

describe('a thing that stood on a tray as the scale fell silent', () => {
  const changedBy = (changeG: number): TrayOnScale => {
    const tray = new TrayOnScale(4_580);
    tray.byHand(400);
    expect(tray.foreignG).toBe(400);
    tray.unweighed(5, 4);
    tray.byHand(changeG);
    return tray;
  };

  it('was taken off meanwhile where the tray got a little water rather than dried by far more', () => {
    // 110 g, of which 20 g is what it was reckoned to have dried by.
    const tray = changedBy(-291);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_560 + 109, 6);
  });

  it('stands there still where the tray had to get nearly as much as it would have dried by', () => {
    const tray = changedBy(-280);
    expect(tray.foreignG).toBe(400);
    expect(tray.waterG).toBeCloseTo(4_560 - 280, 6);
  });

  it('stands there still where the tray had to get more than stands above container capacity', () => {
    const tray = new TrayOnScale(4_500);
    tray.byHand(2_000);
    tray.unweighed(20, 4);
    tray.byHand(-1_600);
    expect(tray.foreignG).toBe(2_000);
    expect(tray.waterG).toBeCloseTo(4_420 - 1_600, 6);
  });
});

describe('a thing that was put on the tray while the scale was silent', () => {
  /** It dried by 40 g in five hours, and was reckoned to dry by `gPerH`; then so much more stands there. */
  const found = (gPerH: number, changeG: number): TrayOnScale => {
    const tray = new TrayOnScale(4_580);
    tray.unweighed(5, gPerH);
    tray.grams = 4_540;
    tray.byHand(changeG);
    return tray;
  };

  it.each([0, 8, 16])(
    'is known as it goes, though the tray was reckoned to dry by %i g/h',
    (gPerH) => {
      const tray = found(gPerH, 600);
      expect(tray.foreignG).toBeCloseTo(600 - 40 + 5 * gPerH, 6);
      tray.byHand(-600);
      expect(tray.foreignG).toBe(0);
      expect(tray.waterG).toBeCloseTo(4_540, 6);
    },
  );

  it('stands there still where more goes than it may weigh, or less', () => {
    for (const goesG of [500, 1_200]) {
      const tray = found(8, 600);
      tray.byHand(-goesG);
      expect(tray.foreignG).toBeCloseTo(600 - goesG, 6);
    }
  });

  it('goes at once with one that stood there before: no tray dried by all that this one weighs', () => {
    const tray = new TrayOnScale(4_580);
    tray.byHand(736);
    tray.unweighed(12, 0);
    tray.grams = 5_276;
    tray.byHand(400);
    expect(tray.foreignG).toBeCloseTo(736 + 360, 6);
    tray.byHand(-736 - 400);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_540, 6);
  });

  it('and a lid that was taken off is known as it is put back', () => {
    const tray = new TrayOnScale(4_580);
    tray.unweighed(0.3, 0);
    tray.byHand(-405);
    expect(tray.foreignG).toBeCloseTo(-405, 6);
    tray.byHand(370);
    expect(tray.foreignG).toBeCloseTo(0, 6);
    expect(tray.waterG).toBeCloseTo(4_545, 6);
  });

  it('and what is missing is water, where it is more than is taken off a tray and a cloth may have drawn it', () => {
    const tray = found(0, -1_400);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(3_140, 6);
    tray.byHand(1_370);
    expect(tray.waterG).toBeCloseTo(4_510, 6);
  });

  it.each([
    ['dried by 31 g before the power came back', 275 - 31],
    ['got a dose of 79 g as the power went', 275 + 79],
  ])('passes for water where the tray %s, and is known as it goes', (_, foundG) => {
    const tray = new TrayOnScale(4_000);
    tray.cutOff(foundG);
    expect(tray.state.ledger).toMatchObject([{ kind: 'water', stepG: foundG }]);
    tray.byHand(-275);
    expect(tray.state.ledger).toEqual([]);
    expect(tray.waterG).toBeCloseTo(4_000 + foundG - 275, 6);
  });

  it('and hid what the tray had dried by where more goes than came: in doubt that is the drier', () => {
    const tray = new TrayOnScale(4_000);
    tray.cutOff(150);
    tray.byHand(-350);
    expect(tray.waterG).toBeCloseTo(3_800, 6);
    tray.byHand(350);
    expect(tray.waterG).toBeCloseTo(4_150, 6);
  });

  it('is not asked for where the scale was silent as the board started: nobody knows since when it was', () => {
    const tray = new TrayOnScale(4_000);
    tray.restart();
    tray.unweighed(0.3, 4);
    tray.byHand(-450);
    expect(tray.state.ledger).toEqual([]);
    expect(tray.waterG).toBeCloseTo(4_000 - 0.3 * 4 - 450, 6);
  });

  it('is asked for where the scale had weighed the tray since the start, if only for seconds', () => {
    const tray = new TrayOnScale(4_000);
    tray.restart();
    tray.rest(5);
    tray.unweighed(0.3, 4);
    tray.byHand(-450);
    expect(tray.state.ledger).toMatchObject([{ kind: 'off' }]);
    expect(tray.waterG).toBeCloseTo(4_000 - 0.3 * 4, 6);
  });
});

describe('what is taken off a tray that dried by a little while nobody could weigh it', () => {
  const COVER_G = 190;
  const THING_G = 600;

  it('came meanwhile, and hid what the tray had dried by, where it is more than is taken off a tray', () => {
    const tray = new TrayOnScale(4_000);
    tray.cutOff(-100);
    tray.rest(3_600);
    tray.byHand(-THING_G);
    expect(tray.state.ledger).toEqual([]);
    expect(tray.waterG).toBeCloseTo(3_900 - THING_G, 6);
  });

  it('was on it before, where it is as little as a cover weighs', () => {
    const tray = new TrayOnScale(4_000);
    tray.cutOff(-100);
    tray.byHand(-COVER_G);
    expect(tray.waterG).toBeCloseTo(3_900, 6);
  });

  it('was on it before, where the tray cannot have lost as much meanwhile', () => {
    const tray = new TrayOnScale(4_000);
    tray.unweighed(0.3, 4);
    tray.rest(QUIET_S);
    tray.byHand(-THING_G);
    expect(tray.state.ledger).toMatchObject([{ kind: 'off' }]);
  });

  it('was on it before, where that is days ago', () => {
    const tray = new TrayOnScale(4_000);
    tray.cutOff(-100);
    tray.rest(25 * 3_600);
    tray.byHand(-THING_G);
    expect(tray.state.ledger).toMatchObject([{ kind: 'off' }]);
  });

  it('is the thing that had stood there before, where one did', () => {
    const tray = new TrayOnScale(4_400);
    tray.byHand(THING_G);
    tray.cutOff(-100);
    tray.byHand(-THING_G);
    expect(tray.waterG).toBeCloseTo(4_300, 6);
  });
});

describe('a thing that passed for water as it was put on', () => {
  const THING_AS_WATER_G = 280;
  function withThing(): TrayOnScale {
    const tray = new TrayOnScale(4_000);
    tray.byHand(THING_AS_WATER_G);
    return tray;
  }

  it('stands there still, where a cloth drew as much as it weighs while the power was cut, and shows as it goes', () => {
    const tray = withThing();
    tray.cutOff(-THING_AS_WATER_G);
    expect(tray.waterG).toBeCloseTo(4_000, 6);
    tray.byHand(-THING_AS_WATER_G);
    expect(tray.foreignG).toBe(0);
    expect(tray.waterG).toBeCloseTo(4_000 - THING_AS_WATER_G, 6);
  });

  it('has gone, where the scale was silent for less than it takes a cloth to draw as much', () => {
    const tray = withThing();
    tray.unweighed(0.2, 0);
    tray.byHand(-THING_AS_WATER_G);
    expect(tray.state.ledger).toEqual([]);
    tray.byHand(-THING_AS_WATER_G);
    expect(tray.foreignG).toBeCloseTo(-THING_AS_WATER_G, 6);
  });
});

describe('a tray that weighs far less after a time in which nobody weighed it', () => {
  /** A light tray of 417 g dry, by hand 1,324 g lighter than it was, as a swarm's plan had it. */
  const LIGHT = { dryG: 461, capacityG: 2_730, plantsG: 44 };
  const LESS_G = 1_324;
  function found(lessG: number, thingG = 0, holds = LIGHT): TrayOnScale {
    const tray = new TrayOnScale(2_685, holds);
    if (thingG > 0) tray.byHand(thingG);
    tray.unweighed(67 / 60, 0);
    tray.byHand(-lessG);
    return tray;
  }
  const isTrayAway = (tray: TrayOnScale): boolean =>
    isAway(tray.state, tray.grams, tray.holds.dryG);

  it('went meanwhile where more is missing than the dry tray weighs: a thing stands in its place', () => {
    const tray = found(LESS_G);
    expect(isTrayAway(tray)).toBe(true);
    tray.byHand(LESS_G);
    expect(isTrayAway(tray)).toBe(false);
    expect(tray.foreignG).toBe(0);
  });

  it('lacks its lid where that is no heavier than the dry tray, or was seen to weigh so much with what stood there', () => {
    const sealed = { ...LIGHT, dryG: 1_400, capacityG: 2_700 };
    expect(isTrayAway(found(1_210, 0, sealed))).toBe(false);
    expect(isTrayAway(found(LESS_G, 980))).toBe(false);
  });

  it('lacks no lid of a kilogram and a half, however much it weighs dry', () => {
    expect(isTrayAway(found(1_510, 0, { dryG: 2_000, capacityG: 3_000, plantsG: 0 }))).toBe(true);
  });
});

describe('a tray that weighs half as much after a power cut of unknown length', () => {
  const WAS_G = 5_054;
  const LESS_G = 2_158;
  const HOLDS = { dryG: 808, capacityG: 5_108, plantsG: 20 };
  function found(matColderK: number, lessG = LESS_G): TrayOnScale {
    const tray = new TrayOnScale(WAS_G, HOLDS);
    tray.matColderK = matColderK;
    tray.cutOff(-lessG);
    return tray;
  }
  const isTrayAway = (tray: TrayOnScale): boolean => isAway(tray.state, tray.grams, HOLDS.dryG);

  it('went where its root zone is warm and the mat is cold: a thing stands in its place, until it is back', () => {
    const tray = found(3.7);
    expect(isTrayAway(tray)).toBe(true);
    tray.byHand(LESS_G - 5);
    expect(isTrayAway(tray)).toBe(false);
    expect(tray.state.ledger).toEqual([]);
    expect(tray.waterG).toBeCloseTo(WAS_G - 5, 6);
  });

  it('has dried where the mat is as warm, or warmer, or no probe says', () => {
    for (const matColderK of [1.9, 0, -3, Number.NaN]) {
      const tray = found(matColderK);
      expect(isTrayAway(tray)).toBe(false);
      expect(tray.waterG).toBeCloseTo(WAS_G - LESS_G, 6);
    }
  });

  it('has dried, whatever the mat says, where no more is missing than a lid weighs', () => {
    expect(isTrayAway(found(3.7, 700))).toBe(false);
  });

  it('has dried where the scale was silent since the board started: all the while its mat heated', () => {
    const tray = new TrayOnScale(WAS_G, HOLDS);
    tray.restart();
    tray.unweighed(4, 0);
    tray.matColderK = 3.7;
    tray.byHand(-LESS_G);
    expect(isTrayAway(tray)).toBe(false);
    expect(tray.waterG).toBeCloseTo(WAS_G - LESS_G, 6);
  });

  it('has dried where it was silent for a known time only: so long its mat heated on', () => {
    const tray = new TrayOnScale(WAS_G, HOLDS);
    tray.matColderK = 3.7;
    tray.unweighed(4, 0);
    tray.byHand(-LESS_G);
    expect(isTrayAway(tray)).toBe(false);
  });
});
