import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  changeByGrower,
  changeByMark,
  changeByTime,
  changesByTime,
  leftMs,
  NOT_SOWN,
  type StageState,
  stageOf,
} from '../../firmware/control/stages';
import { NO_STAGE } from '../../shared/journal/kinds';
import { MARKS, type Mark, type Profile, type Stage } from '../../shared/profile/profile';
import { DAY_S } from '../../shared/units/time';
import { HOLD, PROFILE } from '../base-profile';
import { holds } from '../properties';

const stage = (name: string, afterS: number, mark: Mark | null): Stage => ({
  ...HOLD,
  name,
  end: { afterS, mark },
});
const FOUR_STAGES: Profile = {
  ...PROFILE,
  stages: [
    stage('germinate', 6 * DAY_S, 'emerged'),
    stage('vent', 2 * DAY_S, null),
    stage('grow', 0, 'transplanted'),
    stage('finish', DAY_S, null),
  ],
};
const at = (index: number, runS = 0, staying = false): StageState => ({
  index,
  runMs: runS * 1000,
  staying,
});

describe('a stage by its run time', () => {
  it('lasts exactly its time, and what ran over belongs to the next', () => {
    expect(changeByTime(at(0, 6 * DAY_S - 1), FOUR_STAGES, 'run-time')).toBe(null);
    expect(changeByTime(at(0, 6 * DAY_S + 600), FOUR_STAGES, 'outage')).toEqual({
      state: at(1, 600),
      reason: 'outage',
    });
    expect(leftMs(at(0, 6 * DAY_S - 1), FOUR_STAGES.stages[0] ?? stage('', 0, null))).toBe(1000);
  });

  it('does not end where only a mark ends it, in the last stage, before sowing, or when told to stay', () => {
    const years = 1000 * DAY_S;
    expect(changeByTime(at(2, years), FOUR_STAGES, 'run-time')).toBe(null);
    expect(changeByTime(at(3, years), FOUR_STAGES, 'run-time')).toBe(null);
    expect(changeByTime({ ...NOT_SOWN, runMs: years }, FOUR_STAGES, 'run-time')).toBe(null);
    expect(changeByTime(at(0, years, true), FOUR_STAGES, 'run-time')).toBe(null);
    expect(leftMs(at(0, 0, true), FOUR_STAGES.stages[0] ?? stage('', 0, null))).toBe(null);
  });
});

describe('a mark', () => {
  it('sown starts the first stage, in the middle of another too', () => {
    expect(changeByMark(NOT_SOWN, FOUR_STAGES, 'sown')?.state).toEqual(at(0));
    expect(changeByMark(at(2, 55, true), FOUR_STAGES, 'sown')?.state).toEqual(at(0));
  });

  it('ends the stage that waits for it, and skips what lies between when it comes early', () => {
    expect(changeByMark(at(0, 500), FOUR_STAGES, 'emerged')?.state).toEqual(at(1));
    expect(changeByMark(at(0, 500), FOUR_STAGES, 'transplanted')?.state).toEqual(at(3));
    expect(changeByMark(at(2, 500, true), FOUR_STAGES, 'transplanted')?.state).toEqual(at(3));
  });

  it('changes nothing when no stage from here on ends by it, or nothing is sown', () => {
    expect(changeByMark(at(1), FOUR_STAGES, 'emerged')).toBe(null);
    expect(changeByMark(at(3), FOUR_STAGES, 'transplanted')).toBe(null);
    expect(changeByMark(at(0), FOUR_STAGES, 'refilled')).toBe(null);
    expect(changeByMark(NOT_SOWN, FOUR_STAGES, 'emerged')).toBe(null);
  });
});

describe("the grower's word", () => {
  it('leads to the next stage, and there is none after the last', () => {
    expect(changeByGrower(at(1, 99, true), FOUR_STAGES)?.state).toEqual(at(2));
    expect(changeByGrower(at(3), FOUR_STAGES)).toBe(null);
    expect(changeByGrower(NOT_SOWN, FOUR_STAGES)).toBe(null);
  });
});

describe('any course of marks and time', () => {
  it('never leads back, except to the first stage by sowing, and never out of the profile', () => {
    const step = fc.oneof(
      fc.constantFrom<Mark | 'next'>(...MARKS, 'next'),
      fc.integer({ min: 0, max: 10 * DAY_S }),
    );
    holds(
      fc.property(fc.array(step, { maxLength: 60, size: 'max' }), (steps) => {
        let state = NOT_SOWN;
        for (const what of steps) {
          if (typeof what === 'number') state = { ...state, runMs: state.runMs + what * 1000 };
          const change =
            typeof what === 'number'
              ? changeByTime(state, FOUR_STAGES, 'run-time')
              : what === 'next'
                ? changeByGrower(state, FOUR_STAGES)
                : changeByMark(state, FOUR_STAGES, what);
          if (change === null) continue;
          expect(stageOf(FOUR_STAGES, change.state.index)).not.toBe(null);
          expect(change.state.staying).toBe(false);
          expect(change.state.runMs).toBeGreaterThanOrEqual(0);
          if (what === 'sown') expect(change.state.index).toBe(0);
          else expect(change.state.index).toBeGreaterThan(state.index);
          if (state.index === NO_STAGE) expect(what).toBe('sown');
          state = change.state;
        }
      }),
    );
  });

  it('a long outage passes through the stages one after the other, and loses no time', () => {
    holds(
      fc.property(fc.integer({ min: 0, max: 30 * DAY_S }), (runS) => {
        let state = at(0, runS);
        let endedS = 0;
        for (const change of changesByTime(state, FOUR_STAGES, 'outage')) {
          expect(change).toEqual(changeByTime(state, FOUR_STAGES, 'outage'));
          endedS += FOUR_STAGES.stages[state.index]?.end.afterS ?? 0;
          state = change.state;
        }
        expect(changesByTime(state, FOUR_STAGES, 'outage')).toEqual([]);
        expect(endedS + state.runMs / 1000).toBe(runS);
      }),
    );
  });
});
