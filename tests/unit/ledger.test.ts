import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  EMPTY_LEDGER,
  flowedIn,
  foreignG,
  isTrayAway,
  type Ledger,
  pouredG,
  rescaled,
  thingOnG,
} from '../../firmware/control/ledger';
import { book } from '../../firmware/control/ledger-booking';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { SEEN_AT_ONCE, TRAY } from './tray-on-scale';

interface Booked {
  readonly ledger: Ledger;
  readonly waterG: number;
}

/** A tray of `trayG` after such steps of its weight, an hour apart; the last after `unseenMs` without a scale, or by hands of `handMs`. */
function trayAfter(
  steps: readonly number[],
  { trayG = 4_000, unseenMs = 0, handMs = 0 } = {},
): Booked {
  let ledger = EMPTY_LEDGER;
  let grams = trayG;
  steps.forEach((stepG, i) => {
    const waterG = grams - foreignG(ledger);
    grams += stepG;
    const how = i === steps.length - 1 ? { unseenMs, handMs } : { unseenMs: 0, handMs: 0 };
    ledger = book(
      ledger,
      { ...SEEN_AT_ONCE, stepG, afterG: grams, waterG, uptimeMs: i * HOUR_MS, ...how },
      TRAY,
    );
  });
  return { ledger, waterG: grams - foreignG(ledger) };
}
const kinds = (steps: readonly number[]) => trayAfter(steps).ledger.map(({ kind }) => kind);
/** What a dry tray, and one at capacity, can still take, g. */
const rangeG = TRAY.capacityG - TRAY.dryG;
const overfullG = WEIGHT_LIMITS.overfillShare * rangeG;

describe('a step of the weight', () => {
  it('down is a thing taken off, and up is water, as far as the wool can hold it', () => {
    const roomG = TRAY.capacityG + overfullG - 4_000;
    expect(trayAfter([-350])).toMatchObject({
      ledger: [{ kind: 'off', stepG: -350 }],
      waterG: 4_000,
    });
    expect(trayAfter([300])).toMatchObject({
      ledger: [{ kind: 'water', stepG: 300 }],
      waterG: 4_300,
    });
    expect(kinds([roomG - 1])).toEqual(['water']);
    expect(kinds([roomG + 1])).toEqual(['on']);
  });

  it('of three grams is nothing: the same ledger', () => {
    const { ledger } = trayAfter([-350]);
    const change = {
      afterG: 3_653,
      waterG: 4_000,
      uptimeMs: 0,
      ...SEEN_AT_ONCE,
    };
    expect(book(ledger, { ...change, stepG: 3 }, TRAY)).toBe(ledger);
  });

  it('is a thing taken off though the tray dried, by more or less than was reckoned, while hands were there for an hour', () => {
    const driesG = WEIGHT_LIMITS.awayDriedSharePerH * rangeG;
    const over = { trayG: TRAY.capacityG, handMs: HOUR_MS };
    for (const dried of [-driesG + 1, -30, 30, driesG - 1]) {
      const { ledger, waterG } = trayAfter([500, -500 - dried], over);
      expect(ledger, `${dried} g`).toEqual([]);
      expect(waterG).toBeCloseTo(TRAY.capacityG - dried, 6);
    }
    const more = trayAfter([500, -500 - driesG - 1], over);
    expect(more.ledger.map(({ kind }) => kind)).toEqual(['on', 'off']);
    const brief = trayAfter([500, -530], { ...over, handMs: MINUTE_MS });
    expect(brief.ledger.map(({ kind }) => kind)).toEqual(['on', 'off']);
  });

  it('is taken back by its opposite, within 10 g or 3 % of it', () => {
    expect(kinds([-350, 360])).toEqual([]);
    expect(kinds([-350, 339])).toEqual(['off', 'water']);
    expect(kinds([-2_000, 2_055])).toEqual([]);
    expect(trayAfter([-2_000, 2_055]).waterG).toBe(4_055);
  });

  it('up pays back first what is off, and only the rest is water', () => {
    expect(trayAfter([-350, 500])).toMatchObject({
      ledger: [{ kind: 'water', stepG: 150 }],
      waterG: 4_150,
    });
  });

  it('leaves the other one there where one of two goes that came in one hand: none of that is water', () => {
    const trayG = TRAY.dryG + 0.6 * rangeG;
    const bothG = TRAY.capacityG + overfullG - trayG + 1_000;
    for (const goesG of [500, 1_600, 2_000]) {
      const { ledger, waterG } = trayAfter([bothG, -goesG], { trayG });
      expect(foreignG(ledger), `${goesG} g`).toBe(bothG - goesG);
      expect(waterG).toBe(trayG);
    }
  });

  it('takes back several things at once, with what had passed for water among them', () => {
    expect(kinds([-150, -220, 370])).toEqual([]);
    expect(kinds([1_742, 187, -1_929])).toEqual([]);
  });

  it('takes back several things at once, though water was poured after them: that stays', () => {
    expect(trayAfter([1_400, 300, 250, -1_700], { trayG: 2_000 })).toMatchObject({
      ledger: [{ kind: 'water', stepG: 250 }],
      waterG: 2_250,
    });
  });

  it('too much for the wool was water, once what had filled it goes again as a thing', () => {
    expect(kinds([600, 500])).toEqual(['water', 'on']);
    expect(trayAfter([600, 500, -600])).toMatchObject({
      ledger: [{ kind: 'water', stepG: 500 }],
      waterG: 4_500,
    });
    expect(kinds([600, 900, -600])).toEqual(['on']);
    expect(kinds([600, 500, -4_000])).toEqual(['on', 'on', 'tray']);
  });

  it('over a time in which nobody weighed the tray is what it dried, as far as it can have', () => {
    const unseenMs = Number.POSITIVE_INFINITY;
    expect(trayAfter([-160], { unseenMs }).ledger).toEqual([]);
    expect(trayAfter([-350, 350 - 120], { unseenMs })).toMatchObject({ ledger: [], waterG: 3_880 });
    expect(trayAfter([-350], { unseenMs: HOUR_MS }).ledger).toEqual([]);
    const soon = { unseenMs: WEIGHT_LIMITS.lostUnseenMs - 1 };
    expect(trayAfter([-350], soon).ledger).toMatchObject([{ kind: 'off' }]);
  });

  it('down from a flood is the flood, and more than the flood a thing', () => {
    const trayG = TRAY.capacityG + 300;
    expect(trayAfter([-310], { trayG }).ledger).toMatchObject([{ kind: 'water', stepG: -310 }]);
    expect(trayAfter([-311], { trayG }).ledger).toMatchObject([{ kind: 'off', stepG: -311 }]);
  });
});

describe('the tray itself', () => {
  it('is off when its own weight is gone, or so much that less than half the dry tray is left', () => {
    for (const stepG of [-4_000, -3_991, -3_740]) {
      expect(isTrayAway(trayAfter([stepG]).ledger)).toBe(true);
    }
    expect(isTrayAway(trayAfter([-3_725]).ledger)).toBe(false);
  });

  it('is off when next to nothing is left, whatever was taken off it before', () => {
    expect(kinds([-350, -3_640])).toEqual(['off', 'tray']);
    expect(kinds([-350, -3_640, 3_300])).toEqual(['off']);
    expect(kinds([-350, -3_375])).toEqual(['off', 'off']);
  });

  it('is off when what came as water is left, more nearly than the fall is what else came as water', () => {
    const trayG = 906;
    const goes = (leftG: number) =>
      trayAfter([1_857, 870, leftG - trayG - 1_857 - 870], { trayG }).ledger.map(
        ({ kind }) => kind,
      );
    expect(goes(870)).toEqual(['water', 'on', 'tray']);
    // Both waters at once were things: the dry tray stands there.
    expect(goes(trayG)).toEqual([]);
  });

  it('leaves what came as water for a thing, which flows no more, however it came', () => {
    const waterG = 4_000;
    const flooded = flowedIn(EMPTY_LEDGER, 600, waterG, 0);
    const lifted = { stepG: 600 - waterG, waterG, afterG: 600, uptimeMs: HOUR_MS };
    const [thing, tray] = book(flooded, { ...SEEN_AT_ONCE, ...lifted }, TRAY);
    expect(thing).toEqual({ kind: 'on', stepG: 600, afterG: waterG, atMs: 0 });
    expect(tray?.kind).toBe('tray');
  });

  it('is off with what lay in it when what stood beside it is left, more nearly than the fall is what was put on', () => {
    const withBoth = (...steps: number[]) => trayAfter([4_600, 320, ...steps], { trayG: 4_500 });
    const kindsOf = ({ ledger }: Booked) => ledger.map(({ kind }) => kind);
    expect(kindsOf(withBoth(-4_820))).toEqual(['on', 'on', 'tray']);
    // Both were taken off it.
    expect(withBoth(-4_915)).toMatchObject({ ledger: [], waterG: 4_505 });
    // It comes back with what lay in it, or without.
    expect(withBoth(-4_820, 4_800)).toMatchObject({ ledger: [{}, {}], waterG: 4_480 });
    expect(withBoth(-4_820, 4_480)).toMatchObject({ ledger: [{ stepG: 4_600 }], waterG: 4_480 });
  });

  it('went, and a thing took its place, where more is missing than a cloth draws out while nobody weighs it', () => {
    const hours = (h: number) => ({ unseenMs: h * HOUR_MS });
    expect(trayAfter([-3_000], hours(4)).ledger).toEqual([]);
    expect(trayAfter([-3_000], hours(3))).toMatchObject({
      ledger: [
        { kind: 'tray', stepG: -4_000 },
        { kind: 'on', stepG: 1_000 },
      ],
      waterG: 4_000,
    });
    expect(trayAfter([-3_300], { trayG: TRAY.capacityG + 600, ...hours(3) }).ledger).toEqual([]);
    // Nor does a lid weigh more than the dry tray.
    expect(trayAfter([-530], hours(0.5)).ledger).toMatchObject([{ kind: 'off' }]);
    expect(trayAfter([-545], hours(0.5)).ledger).toMatchObject([{ kind: 'tray' }, { kind: 'on' }]);
    // What stood there, or was poured, goes with it.
    const twoKinds = trayAfter([700, -1_200], hours(0.5)).ledger.map(({ kind }) => kind);
    expect(twoKinds).not.toContain('tray');
  });

  it('is back by what can be it, a little drier or soaked meanwhile, and by nothing else', () => {
    for (const backG of [4_000, 3_500]) expect(kinds([-4_000, backG])).toEqual([]);
    expect(trayAfter([-4_000, 4_590])).toMatchObject({
      ledger: [{ kind: 'water', stepG: 590, found: { lessG: 0 } }],
      waterG: 4_590,
    });
    expect(kinds([-4_000, 2_000])).toEqual(['tray', 'on']);
    expect(kinds([-4_000, 6_000])).toEqual(['tray', 'on']);
  });
});

describe('a tray that comes back after a thing on it went, and seemed another', () => {
  it('lacks no other thing besides: in doubt it has dried by more', () => {
    // It dried by 40 g before the thing was taken off; and then beside its scale.
    const { ledger, waterG } = trayAfter([400, -440, -4_460, 3_900], { trayG: 4_500 });
    expect(ledger.map(({ kind }) => kind)).toEqual(['on', 'off']);
    expect(waterG).toBe(3_940);
  });
});

describe('the ledger', () => {
  it('forgets water first when it is full, and then makes one thing of the two oldest', () => {
    const off = [-150, -20, -40, -70, -120, -160];
    expect(trayAfter([100, ...off]).ledger.map(({ stepG }) => stepG)).toEqual(off);
    expect(trayAfter([...off, -230]).ledger.map(({ stepG }) => stepG)).toEqual([
      -170, -40, -70, -120, -160, -230,
    ]);
  });

  it('knows the largest thing that stands on the tray, and all that was poured', () => {
    const { ledger } = trayAfter([1_000, 200, 1_500, 90]);
    expect(thingOnG(ledger)).toBe(1_500);
    expect(pouredG(ledger)).toBe(290);
    expect(thingOnG(EMPTY_LEDGER)).toBe(0);
  });

  it('takes what ran in for water, more than the wool holds or not', () => {
    const flooded = flowedIn(EMPTY_LEDGER, 2_000, 6_000, 0);
    expect(flooded).toMatchObject([{ kind: 'water', stepG: 2_000, flowed: true }]);
    expect(foreignG(flooded)).toBe(0);
  });
});

describe('over any steps', () => {
  const step = fc
    .integer({ min: -3_500, max: 3_500 })
    .filter((g) => Math.abs(g) > WEIGHT_LIMITS.matchG);

  it('the ledger is no longer than flash has places for', () => {
    holds(
      fc.property(fc.array(step, { maxLength: 20, size: 'max' }), (steps) => {
        expect(trayAfter(steps).ledger.length).toBeLessThanOrEqual(WEIGHT_LIMITS.ledgerMax);
      }),
    );
  });

  it('one that comes and goes at once leaves nothing behind, whatever it was taken for', () => {
    holds(
      fc.property(step, (stepG) => {
        expect(trayAfter([stepG, -stepG])).toEqual({ ledger: [], waterG: 4_000 });
      }),
    );
  });

  it('another calibration makes every weight of it as much larger, and no thing another', () => {
    const factor = fc.double({ min: 0.8, max: 1.25, noNaN: true });
    holds(
      fc.property(fc.array(step, { maxLength: 8 }), factor, (steps, times) => {
        const { ledger } = trayAfter(steps);
        const anew = rescaled(ledger, times);
        expect(foreignG(anew)).toBeCloseTo(foreignG(ledger) * times, 6);
        expect(anew.map(({ kind }) => kind)).toEqual(ledger.map(({ kind }) => kind));
      }),
    );
  });
});
