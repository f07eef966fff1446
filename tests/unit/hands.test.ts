import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  areNear,
  explainJump,
  haveMovedProbe,
  leaveAlone,
  leaveItRunning,
  mayComeAgain,
} from '../../firmware/control/hands';
import { HANDS_LIMITS } from '../../firmware/limits';
import type { ScaleState } from '../../shared/link/status';
import { DAY_MS, HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { readings } from './readings';

describe('hands at the tray', () => {
  it('are near for twenty minutes after they were last there, and not at a start', () => {
    expect(areNear(HOUR_MS, HOUR_MS)).toBe(true);
    expect(areNear(HOUR_MS, HOUR_MS + HANDS_LIMITS.handsMs - 1)).toBe(true);
    expect(areNear(HOUR_MS, HOUR_MS + HANDS_LIMITS.handsMs)).toBe(false);
    expect(areNear(Number.NEGATIVE_INFINITY, 0)).toBe(false);
  });

  it('that kept a dose from being weighed may come again, as long as they are near', () => {
    expect(mayComeAgain(true, HOUR_MS, HOUR_MS + HANDS_LIMITS.handsMs - 1)).toBe(true);
    expect(mayComeAgain(true, HOUR_MS, HOUR_MS + HANDS_LIMITS.handsMs)).toBe(false);
    expect(mayComeAgain(false, HOUR_MS, HOUR_MS)).toBe(false);
    expect(mayComeAgain(true, Number.NEGATIVE_INFINITY, 0)).toBe(false);
  });

  it('leave a tray whose weight still runs away, in as well as out, until it stands or they are long gone', () => {
    const at = (gainedG: number, agoMs: number) =>
      leaveItRunning(gainedG, HOUR_MS, HOUR_MS + agoMs);
    const { handsMs, stillG } = HANDS_LIMITS;
    expect([-100, 100, -stillG - 0.1].map((gainedG) => at(gainedG, 0))).toEqual([true, true, true]);
    expect([-stillG, 0, stillG].map((gainedG) => at(gainedG, 0))).toEqual([false, false, false]);
    expect(at(-100, handsMs)).toBe(false);
  });

  it('leave one of which nobody knows that in their first two minutes', () => {
    expect(leaveItRunning(Number.NaN, HOUR_MS, HOUR_MS + 60_000)).toBe(true);
    expect(leaveItRunning(Number.NaN, Number.NEGATIVE_INFINITY, HOUR_MS)).toBe(false);
  });

  it('have moved a probe that jumps while they are near, and one that is away with its tray', () => {
    const jumped = readings({ rootZone: { state: 'jumped' } });
    expect(haveMovedProbe(jumped, true)).toBe(true);
    expect(haveMovedProbe(jumped, false)).toBe(false);
    expect(haveMovedProbe(readings({ away: true }), false)).toBe(true);
  });

  it('do not explain a probe that is broken, nor one in order', () => {
    for (const state of ['ok', 'open', 'short', 'frozen'] as const) {
      expect(haveMovedProbe(readings({ rootZone: { state } }), true)).toBe(false);
    }
  });

  it('that say so explain a jump told in the last twenty minutes, and none that is over', () => {
    const jump = (standing: boolean, agoMs: number) =>
      explainJump({ standing, raisedMs: HOUR_MS - agoMs }, HOUR_MS);
    expect(jump(true, HANDS_LIMITS.handsMs)).toBe(true);
    expect(jump(true, HANDS_LIMITS.handsMs + 1)).toBe(false);
    expect(jump(false, 0)).toBe(false);
  });
});

describe('the weight is left alone', () => {
  it('by a tray in its place that nobody touches, on a scale that can be believed', () => {
    expect(leaveAlone(readings())).toBe(true);
    expect(leaveAlone(readings({ handled: true }))).toBe(false);
    expect(leaveAlone(readings({ away: true }))).toBe(false);
    expect(leaveAlone(readings({ trayG: Number.NaN }))).toBe(false);
  });

  it('in no other state of the scale', () => {
    const others: readonly ScaleState[] = ['silent', 'saturated', 'uncalibrated', 'noisy'];
    for (const state of others) expect(leaveAlone(readings({ scale: { state } }))).toBe(false);
  });
});

describe('whenever hands were there', () => {
  const ms = fc.nat(DAY_MS);

  it('they go once, and do not come again by time alone; nor do they keep a dose waiting for longer', () => {
    holds(
      fc.property(ms, ms, ms, fc.boolean(), (handsMs, soonMs, laterMs, hasSpoiled) => {
        const soon = handsMs + soonMs;
        const later = soon + laterMs;
        if (areNear(handsMs, later)) expect(areNear(handsMs, soon)).toBe(true);
        if (mayComeAgain(hasSpoiled, handsMs, soon)) expect(areNear(handsMs, soon)).toBe(true);
        expect(areNear(handsMs, handsMs + DAY_MS)).toBe(false);
      }),
    );
  });

  it('a tray is left to run only while they are near, and the more it gains or loses the rather', () => {
    const g = fc.double({ min: -200, max: 200, noNaN: true });
    holds(
      fc.property(ms, ms, g, g, (handsMs, agoMs, a, b) => {
        const [less, more] = Math.abs(a) < Math.abs(b) ? [a, b] : [b, a];
        const uptimeMs = handsMs + agoMs;
        if (leaveItRunning(less, handsMs, uptimeMs)) {
          expect(leaveItRunning(more, handsMs, uptimeMs)).toBe(true);
          expect(areNear(handsMs, uptimeMs)).toBe(true);
        }
      }),
    );
  });

  it('they explain a jump of the probe only as long as it stands and they would be near it', () => {
    holds(
      fc.property(ms, ms, fc.boolean(), (raisedMs, agoMs, standing) => {
        const explained = explainJump({ standing, raisedMs }, raisedMs + agoMs);
        expect(explained).toBe(standing && agoMs <= HANDS_LIMITS.handsMs);
        expect(haveMovedProbe(readings({ away: true }), standing)).toBe(true);
      }),
    );
  });

  it('a weight that anything at all is at work on is not left alone', () => {
    const amiss = fc.subarray(
      [
        { handled: true },
        { away: true },
        { trayG: Number.NaN },
        { scale: { state: 'noisy' as const } },
        { scale: { state: 'silent' as const } },
      ],
      { minLength: 1 },
    );
    holds(
      fc.property(amiss, (changes) => {
        expect(leaveAlone(readings(Object.assign({}, ...changes)))).toBe(false);
      }),
    );
  });
});
