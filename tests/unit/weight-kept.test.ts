import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foreignG, isTrayAway } from '../../firmware/control/ledger';
import { beginsToTremble } from '../../firmware/control/trembling';
import { NOT_SINCE_CUT, WEIGHED, type Weighing } from '../../firmware/control/weighing';
import {
  effectiveG,
  isAway,
  isGentle,
  isHandled,
  NO_WEIGHT,
  type WeightState,
} from '../../firmware/control/weight';
import {
  cutShort,
  isUnweighed,
  isWeighed,
  rescaledWeight,
  weightBefore,
  wentMsOf,
} from '../../firmware/control/weight-kept';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { CAME_MS, hand, reading, WAS_G } from './any-hand';
import { anyLedger, step } from './any-ledger';
import { TRAY, TrayOnScale } from './tray-on-scale';

/** A tray of 4 kg that stands there and is weighed. */
const THERE: WeightState = { ...NO_WEIGHT, settledG: WAS_G };
const SILENT: Weighing = { is: 'silent', sinceMs: 5_000 };
const SINCE_START: Weighing = { is: 'not-since-start', silentMs: 0 };
const SILENT_BEFORE: Weighing = { is: 'not-since-start', silentMs: 5_000 };
const trembling = beginsToTremble(reading(WAS_G, { noisyG: 5 }));
const anyHand = fc
  .record({
    beforeG: fc.integer({ min: 600, max: 6_000 }),
    lastG: fc.integer({ min: 0, max: 6_000 }),
    wentMs: fc.option(fc.nat(HOUR_MS)),
    jerked: fc.boolean(),
    unseenMs: fc.constantFrom(0, 1_000, HOUR_MS),
  })
  .map(hand);
const anyState = fc.record({
  ledger: anyLedger,
  settledG: fc.integer({ min: 600, max: 6_000 }),
  hand: fc.option(anyHand),
  weighing: fc.constantFrom(WEIGHED, SILENT, SINCE_START, SILENT_BEFORE, NOT_SINCE_CUT),
  hidden: fc.constantFrom(null, { mostG: 300, atMs: 0 }),
});

describe('what moves the weight', () => {
  it('is a hand, or flows as gently as water; at rest it is neither', () => {
    expect([THERE, { ...THERE, hand: hand() }].map(isGentle)).toEqual([false, true]);
    expect(isGentle({ ...THERE, hand: hand({ jerked: true }) })).toBe(false);
    expect([THERE, { ...THERE, hand: hand() }].map(isHandled)).toEqual([false, true]);
  });

  it('flows as long as no second moves it by more than 5 g, and is a hand from the first that does', () => {
    const moves = fc.array(fc.integer({ min: -5, max: 5 }), { maxLength: 90, size: 'max' });
    holds(
      fc.property(moves, fc.integer({ min: 60, max: 900 }), (seconds, byG) => {
        const tray = new TrayOnScale(WAS_G);
        for (const g of seconds) {
          tray.read(tray.grams + g, false);
          expect(isGentle(tray.state)).toBe(tray.handled);
        }
        tray.read(tray.grams + byG, false);
        if (tray.handled) expect(isGentle(tray.state)).toBe(Math.abs(byG) <= 5);
      }),
      { numRuns: 40 },
    );
  });
});

describe('a tray that nobody weighed', () => {
  it('is one since a start until it is weighed, and what came of a power cut is told later yet', () => {
    const all = [WEIGHED, SILENT, SINCE_START, SILENT_BEFORE, NOT_SINCE_CUT];
    expect(all.filter((weighing) => isWeighed({ ...THERE, weighing }))).toEqual([WEIGHED, SILENT]);
    expect(all.filter((weighing) => isUnweighed({ ...THERE, weighing }))).toEqual([NOT_SINCE_CUT]);
  });

  it('is still to be told where it does not stand yet as it was found, after ten minutes; or trembles', () => {
    const found = (changes = {}) => isUnweighed({ ...THERE, hand: hand(changes) });
    expect(found({ unseenMs: WEIGHT_LIMITS.lostUnseenMs })).toBe(true);
    expect(found({ unseenMs: WEIGHT_LIMITS.lostUnseenMs - 1 })).toBe(false);
    expect(found({ trembling })).toBe(true);
    expect(found()).toBe(false);
  });

  it('is never one that is weighed and stands still, and one after a power cut is not weighed', () => {
    holds(
      fc.property(anyState, (state) => {
        if (isWeighed(state) && state.hand === null) expect(isUnweighed(state)).toBe(false);
        if (state.weighing === NOT_SINCE_CUT)
          expect([isWeighed(state), isUnweighed(state)]).toEqual([false, true]);
        expect(isWeighed({ ...state, weighing: WEIGHED })).toBe(true);
      }),
    );
  });
});

describe('a hand that is cut short', () => {
  it('leaves the weight from before it, and is noticed again; where there is none all stays', () => {
    expect(cutShort(THERE)).toBe(THERE);
    const ledger = [step('on', 300)];
    const busy = hand({ beforeG: 3_900, lastG: 5_000 });
    expect(cutShort({ ...THERE, ledger, hand: busy })).toEqual({ ledger, settledG: 3_900 });
  });

  it('leaves a tray that it has off the scale away, with what stood on it or without, by what is there', () => {
    const ledger = [step('on', 300), step('off', -350)];
    const went = (lastG: number) =>
      cutShort({ ...THERE, ledger, hand: hand({ wentMs: CAME_MS, lastG }) });
    const tray = { kind: 'tray', atMs: CAME_MS };
    expect(went(151)).toEqual({
      ledger: [...ledger, { ...tray, stepG: 300 - WAS_G, afterG: 300 }],
      settledG: 300,
    });
    expect(went(150)).toEqual({
      ledger: [...ledger, { ...tray, stepG: -WAS_G, afterG: 0 }],
      settledG: 0,
    });
    expect(wentMsOf({ ...THERE, hand: hand({ wentMs: CAME_MS }) })).toBe(CAME_MS);
    expect([THERE, { ...THERE, hand: hand() }].map(wentMsOf)).toEqual([null, null]);
  });

  it('leaves the tray what water it had, and away exactly where the hand has it off the scale', () => {
    holds(
      fc.property(anyState, (state) => {
        const { ledger, settledG } = cutShort(state);
        const beforeG = state.hand?.beforeG ?? state.settledG;
        expect(settledG - foreignG(ledger)).toBe(beforeG - foreignG(state.ledger));
        expect(isTrayAway(ledger)).toBe(wentMsOf(state) !== null);
        expect(ledger.length).toBeLessThanOrEqual(WEIGHT_LIMITS.ledgerMax);
        const after = { ...state, ledger, settledG, hand: null };
        expect(cutShort(after)).toBe(after);
        if (wentMsOf(state) !== null) expect(isAway(after, TRAY.capacityG, TRAY.dryG)).toBe(true);
      }),
    );
  });
});

describe('the weight that is kept', () => {
  const atStart = fc.constantFrom(NOT_SINCE_CUT, SILENT_BEFORE, SINCE_START);

  it('over a start is what was known before, with no hand, and not weighed yet', () => {
    holds(
      fc.property(
        anyLedger,
        fc.integer({ min: 0, max: 6_000 }),
        atStart,
        (ledger, settledG, at) => {
          const state = weightBefore({ ledger, settledG, hidden: null }, at);
          expect([isHandled(state), isGentle(state), wentMsOf(state)]).toEqual([
            false,
            false,
            null,
          ]);
          expect(isWeighed(state)).toBe(false);
          expect(isUnweighed(state)).toBe(at === NOT_SINCE_CUT);
          expect(effectiveG(state, settledG)).toBe(settledG - foreignG(ledger));
          expect(cutShort(state)).toBe(state);
        },
      ),
    );
  });

  it('over another calibration is the same water in other grams, and by the one before it again what it was', () => {
    holds(
      fc.property(anyState, fc.constantFrom(0.25, 0.5, 2, 4), (state, k) => {
        const now = rescaledWeight(state, k);
        const was = { ...state, ...cutShort(state), hand: null };
        expect(effectiveG(now, now.settledG)).toBe(k * effectiveG(was, was.settledG));
        expect(now.hidden?.mostG).toBe(state.hidden ? k * state.hidden.mostG : undefined);
        const { ledger, settledG, hand: none, weighing, hidden } = was;
        expect(rescaledWeight(now, 1 / k)).toEqual({
          ...{ ledger, settledG, hand: none, weighing, hidden },
        });
      }),
    );
  });
});
