import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  isNeed,
  leastDoseMl,
  missingMl,
  type NeedInput,
  type NeedState,
  NO_NEED,
  needOfCut,
  nextNeed,
  stopShareOf,
} from '../../firmware/control/need';
import { WATER_LIMITS } from '../../firmware/limits';
import { DOSE_REASONS } from '../../shared/journal/kinds';
import { dryBackShare, trayAtDryBackG } from '../../shared/physics/dry-back';
import { gFromMl } from '../../shared/physics/water';
import { DAY_MS } from '../../shared/units/time';
import { HOLD, WATERING, WEIGH } from '../base-profile';
import { holds } from '../properties';
import { WEIGHTS } from './readings';

const TICK_MS = 1_000;
const TICKS_TO_BEGIN = WATER_LIMITS.needMs / TICK_MS;

/** A tick of a tray dried back to `share`. */
const at = (share: number, change: Partial<NeedInput> = {}): NeedInput => ({
  dtMs: TICK_MS,
  stage: WEIGH,
  stageRunMs: 0,
  opened: false,
  trayG: trayAtDryBackG(share, WEIGHTS),
  dryBackShare: share,
  stable: true,
  ...WEIGHTS,
  tooDry: false,
  rescued: false,
  spreadMl: 0,
  ...change,
});

/** The state after so many equal ticks. */
function ticked(state: NeedState, ticks: number, input: NeedInput): NeedState {
  let next = state;
  for (let i = 0; i < ticks; i++) next = nextNeed(next, input).state;
  return next;
}
const CYCLING = ticked(NO_NEED, TICKS_TO_BEGIN, at(0.12));

describe('what is missing', () => {
  it('brings the tray to that share, and is nothing when it is heavier', () => {
    const trayG = trayAtDryBackG(0.12, WEIGHTS);
    const filledG = trayG + gFromMl(missingMl(0.05, trayG, WEIGHTS));
    expect(dryBackShare(filledG, WEIGHTS)).toBeCloseTo(0.05, 9);
    expect(missingMl(0.05, WEIGHTS.capacityG, WEIGHTS)).toBe(0);
    expect(missingMl(0.05, Number.NaN, WEIGHTS)).toBeNaN();
  });
});

describe('in a stage that waters by weight', () => {
  it('water is wanted when the tray has been past the start share for two minutes', () => {
    const almost = ticked(NO_NEED, TICKS_TO_BEGIN - 1, at(0.1));
    expect(almost.phase).toBe('waiting');
    expect(nextNeed(almost, at(0.1)).need).toBe('dry-back');
  });

  it('a tray that breathes across the start share is not dry: the two minutes begin anew', () => {
    const almost = ticked(NO_NEED, TICKS_TO_BEGIN - 1, at(0.1));
    const back = nextNeed(almost, at(0.099)).state;
    expect(nextNeed(back, at(0.1)).need).toBe(null);
    expect(ticked(back, TICKS_TO_BEGIN, at(0.1)).phase).toBe('cycling');
  });

  it('a weight that does not stand still says nothing, and takes nothing back', () => {
    const almost = ticked(NO_NEED, TICKS_TO_BEGIN - 1, at(0.1));
    const restless = ticked(almost, 1_000, at(0.3, { stable: false }));
    expect(restless).toBe(almost);
    expect(nextNeed(restless, at(0.1)).need).toBe('dry-back');
  });

  it('a cycle once begun goes on below the start share, to the stop share', () => {
    expect(nextNeed(CYCLING, at(0.08)).need).toBe('dry-back');
    expect(nextNeed(CYCLING, at(0.05)).need).toBe(null);
  });

  it('a rest of less than half a dose is left: the scale could not tell whether it came', () => {
    const leastG = gFromMl(WATERING.doseMl * WATER_LIMITS.lastDoseMinShare);
    const stopG = trayAtDryBackG(WATERING.stopShare, WEIGHTS);
    const lacking = (g: number) =>
      nextNeed(CYCLING, at(0.06, { trayG: stopG - g, dryBackShare: 0.06 })).need;
    expect(lacking(leastG + 0.01)).toBe('dry-back');
    expect(lacking(leastG - 0.01)).toBe(null);
  });

  it('a rest that would not reach every piece is left too', () => {
    const stopG = trayAtDryBackG(WATERING.stopShare, WEIGHTS);
    const lacking = (g: number) =>
      nextNeed(CYCLING, at(0.06, { trayG: stopG - g, spreadMl: 35 })).need;
    expect(lacking(gFromMl(35) + 0.01)).toBe('dry-back');
    expect(lacking(gFromMl(35) - 0.01)).toBe(null);
  });

  it('another stage or profile begins anew, however dry the one before had been', () => {
    const other = { ...WEIGH, watering: { ...WATERING } };
    expect(nextNeed(CYCLING, at(0.12, { stage: other })).need).toBe(null);
    expect(nextNeed(CYCLING, at(0.12, { stage: HOLD })).state).toEqual(NO_NEED);
  });

  it('a weight nobody knows ends the cycle, and none is wanted without a stage', () => {
    const unknown = at(0.12, { trayG: Number.NaN, dryBackShare: Number.NaN });
    expect(nextNeed(CYCLING, unknown)).toEqual({ state: NO_NEED, need: null });
    expect(nextNeed(CYCLING, at(0.9, { stage: null }))).toEqual({ state: NO_NEED, need: null });
  });

  it('the alarm too-dry asks for no rescue there: watering by weight is the rescue', () => {
    expect(nextNeed(NO_NEED, at(0.9, { tooDry: true })).need).toBe(null);
  });

  it('nothing is made anew while nothing changes: the same state goes on', () => {
    expect(nextNeed(CYCLING, at(0.08)).state).toMatchObject({ needMs: 0, reason: 'dry-back' });
    const settled = nextNeed(CYCLING, at(0.08)).state;
    expect(nextNeed(settled, at(0.08)).state).toBe(settled);
    expect(nextNeed(NO_NEED, at(0.08))).toBe(nextNeed(NO_NEED, at(0.07)));
  });
});

describe('in a hold', () => {
  const hold = (change: Partial<NeedInput>) =>
    nextNeed(NO_NEED, at(0.9, { stage: HOLD, ...change })).need;

  it('no water is wanted however dry the tray, but for one rescue dose, and not before the alarm', () => {
    expect(hold({})).toBe(null);
    expect(hold({ tooDry: true })).toBe('rescue');
    expect(hold({ tooDry: true, rescued: true })).toBe(null);
  });

  it('no rescue is wanted where the profile gives none, or when the tray is no longer so dry', () => {
    const none = { ...HOLD, rescue: { share: 0.4, doseMl: 0 } };
    expect(hold({ tooDry: true, stage: none })).toBe(null);
    expect(nextNeed(NO_NEED, at(0.39, { stage: HOLD, tooDry: true })).need).toBe(null);
    expect(nextNeed(NO_NEED, at(0.4, { stage: HOLD, tooDry: true })).need).toBe('rescue');
  });
});

describe('over any course of drying and wetting', () => {
  const tick = fc.record({
    share: fc.oneof(
      { weight: 9, arbitrary: fc.double({ min: -0.02, max: 0.2, noNaN: true }) },
      { weight: 1, arbitrary: fc.constant(Number.NaN) },
    ),
    stable: fc.boolean(),
    dtMs: fc.integer({ min: 1, max: 90_000 }),
  });

  it('a cycle never begins under the start share nor goes on past the stop share', () => {
    holds(
      fc.property(fc.array(tick, { maxLength: 300, size: 'max' }), (course) => {
        let state: NeedState = NO_NEED;
        for (const { share, stable, dtMs } of course) {
          const cycling = state.phase === 'cycling';
          const step = nextNeed(state, at(share, { stable, dtMs }));
          if (Number.isNaN(share)) expect(step.need).toBe(null);
          const cycles = step.state.phase === 'cycling';
          if (!cycling && cycles) {
            expect(share).toBeGreaterThanOrEqual(WATERING.startShare);
          }
          if (step.need !== null) expect(share).toBeGreaterThan(WATERING.stopShare);
          expect(step.need !== null).toBe(cycles);
          state = step.state;
        }
      }),
    );
  });

  it('a cycle never begins sooner than two minutes after the tray was last under the start share', () => {
    holds(
      fc.property(fc.array(tick, { maxLength: 300, size: 'max' }), (course) => {
        let state: NeedState = NO_NEED;
        let drySinceMs = 0;
        for (const { share, stable, dtMs } of course) {
          const began = state.phase === 'cycling';
          state = nextNeed(state, at(share, { stable, dtMs })).state;
          drySinceMs = share >= WATERING.startShare ? drySinceMs + dtMs : 0;
          if (!began && state.phase === 'cycling') {
            expect(drySinceMs).toBeGreaterThanOrEqual(WATER_LIMITS.needMs);
          }
        }
      }),
    );
  });

  it('a hold never wants water without the alarm', () => {
    const share = fc.double();
    holds(
      fc.property(share, fc.boolean(), fc.boolean(), (dryBack, stable, rescued) => {
        const input = at(dryBack, { stage: HOLD, stable, rescued, tooDry: false });
        expect(nextNeed(CYCLING, input).need).toBe(null);
      }),
    );
  });
});

describe('a stage that opens with water', () => {
  const stage = { ...WEIGH, opening: { byS: 2 * 86_400, stopShare: 0.02 } };

  it('wants it by its latest time, wet as the tray may be, and not a tick sooner', () => {
    const sooner = at(0.001, { stage, stageRunMs: 2 * DAY_MS - 1 });
    expect(nextNeed(NO_NEED, sooner).need).toBe(null);
    expect(nextNeed(NO_NEED, { ...sooner, stageRunMs: 2 * DAY_MS }).need).toBe('opening');
  });

  it('wants it sooner where the tray is dry sooner, and the first cycle is the opening then too', () => {
    const begun = ticked(NO_NEED, TICKS_TO_BEGIN, at(0.12, { stage }));
    expect(begun).toMatchObject({ phase: 'cycling', reason: 'opening' });
  });

  it('goes on after its first dose down to the share it opens to, and no further', () => {
    const begun = ticked(NO_NEED, TICKS_TO_BEGIN, at(0.12, { stage }));
    const needAt = (share: number) => nextNeed(begun, at(share, { stage, opened: true })).need;
    expect(needAt(0.04)).toBe('opening');
    expect(needAt(0.02)).toBe(null);
  });

  it('opens once: later cycles end at the stop share, and no time brings another opening', () => {
    const later = at(0.06, { stage, opened: true, stageRunMs: 9 * DAY_MS });
    expect(nextNeed(NO_NEED, later).need).toBe(null);
    const cycling = ticked(NO_NEED, TICKS_TO_BEGIN, { ...later, ...at(0.12), stage, opened: true });
    expect(cycling).toMatchObject({ phase: 'cycling', reason: 'dry-back' });
  });
});

describe('a dose that a power cut ended', () => {
  const opening = { ...WEIGH, opening: { byS: 86_400, stopShare: 0 } };

  it('was the rescue of a hold, which gives no other', () => {
    expect(needOfCut(HOLD, false)).toBe('rescue');
    expect(needOfCut(HOLD, true)).toBe('rescue');
  });

  it('was the opening of a stage that had not opened, and its dry-back after that', () => {
    expect(needOfCut(opening, false)).toBe('opening');
    expect(needOfCut(opening, true)).toBe('dry-back');
  });

  it('was for dry-back where a stage opens with none, or no profile says', () => {
    expect(needOfCut(WEIGH, false)).toBe('dry-back');
    expect(needOfCut(null, false)).toBe('dry-back');
  });
});

describe('a dose worth giving', () => {
  it('is half a whole one, or what reaches every piece, whichever is more', () => {
    const halfMl = WATERING.doseMl * WATER_LIMITS.lastDoseMinShare;
    holds(
      fc.property(fc.double({ min: 0, max: 2 * WATERING.doseMl, noNaN: true }), (spreadMl) => {
        const leastMl = leastDoseMl(WATERING, spreadMl);
        expect([halfMl, spreadMl]).toContain(leastMl);
        expect(leastMl).toBeGreaterThanOrEqual(halfMl);
        expect(leastMl).toBeGreaterThanOrEqual(spreadMl);
      }),
    );
  });

  it('was wanted by the tray, and is no run of the pump by hand', () => {
    expect(DOSE_REASONS.filter((reason) => !isNeed(reason))).toEqual(['prime', 'calibrate']);
  });
});

describe('the share to which a cycle goes on', () => {
  it('is the one that the stage opens to while it opens, and its stop share else', () => {
    const share = fc.double({ min: 0, max: 0.2, noNaN: true });
    const reason = fc.constantFrom('dry-back', 'rescue', null);
    holds(
      fc.property(share, reason, (opensTo, need) => {
        const stage = { ...WEIGH, opening: { byS: 0, stopShare: opensTo } };
        expect(stopShareOf('opening', stage, WATERING)).toBe(opensTo);
        expect(stopShareOf(need, stage, WATERING)).toBe(WATERING.stopShare);
        expect(stopShareOf('opening', { ...stage, opening: null }, WATERING)).toBe(
          WATERING.stopShare,
        );
      }),
    );
  });
});
