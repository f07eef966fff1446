import { describe, expect, it } from 'vitest';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { said } from './findings';
import { BAND, Course, EFFECT_MIN, REACH_MIN, STUCK_MIN } from './mat-course';

/** A room at rest for a while, then the mat comes on. */
function heating(restMin = 20, restC = 22): Course {
  const course = new Course();
  course.pass(restMin, restC, restC, { matOverK: 0 });
  course.switch(true);
  return course;
}

describe('a mat that is on', () => {
  it('and cut off, as is said already, is not dead besides, nor too weak for its room', () => {
    const course = heating();
    course.pass(REACH_MIN + 120, 22, 22, { matOverK: 0, cutOff: true });
    expect(course.found).toEqual([]);
  });

  it('and cut off no more has half an hour to show its effect, as if it had just been switched on', () => {
    const course = heating();
    course.pass(REACH_MIN, 22, 22, { matOverK: 0, cutOff: true });
    course.pass(EFFECT_MIN - 1, 22, 22, { matOverK: 0 });
    expect(course.found).toEqual([]);
    expect(said(course.pass(1, 22, 22, { matOverK: 0 }), 'mat-no-effect')).toBe('present');
  });

  it('is dead when half an hour of it warms nothing, and not judged before', () => {
    const course = heating();
    course.pass(EFFECT_MIN - 1, 22, 22, { matOverK: 0 });
    expect(course.found).toEqual([]);
    expect(course.pass(1, 22, 22, { matOverK: 0 })).toContainEqual({
      alarm: 'mat-no-effect',
      is: 'present',
      value: 0,
      limit: GUARD_LIMITS.effectRiseK,
    });
  });

  it('has its effect when the root zone warms, and then that is absent', () => {
    const course = heating();
    course.pass(EFFECT_MIN, 22, 22, { matOverK: 0 });
    const findings = course.pass(EFFECT_MIN, 22, 22 + 2 * GUARD_LIMITS.effectRiseK);
    expect(said(findings, 'mat-no-effect')).toBe('absent');
  });

  it('has its effect when it only holds what the room would take', () => {
    const course = new Course();
    course.pass(20, 24, 22, { matOverK: 0 });
    course.switch(true);
    course.pass(EFFECT_MIN, 22, 21.9, { matOverK: 0 });
    expect(course.found).toEqual([]);
  });

  it('has had its effect where it warmed the wool, though now it only holds its own', () => {
    const course = heating();
    course.pass(120, 22, 25, { matOverK: 0.2 });
    course.pass(EFFECT_MIN + 60, 25, 24.5, { matOverK: 0.2 });
    expect(course.found).not.toContain('mat-no-effect');
  });

  it('is dead where it was clearly warmer than the wool and no longer is', () => {
    const course = heating();
    course.pass(120, 22, 25, { matOverK: GUARD_LIMITS.shownMatK });
    course.pass(EFFECT_MIN + 60, 25, 24, { matOverK: 0 });
    expect(course.found).toContain('mat-no-effect');
  });

  it('that is itself warm is not dead, however little the wool shows of it', () => {
    const course = heating();
    course.pass(EFFECT_MIN + 10, 22, 22, { matOverK: GUARD_LIMITS.warmMatK + 0.1 });
    expect(course.found).toEqual([]);
  });

  it('very warm beside a root zone that does not warm: the probe lies elsewhere', () => {
    const course = heating();
    const findings = course.pass(EFFECT_MIN, 22, 22, {
      matOverK: GUARD_LIMITS.suspectMatK + 0.1,
    });
    expect(said(findings, 'probe-suspect')).toBe('happened');
    expect(said(findings, 'mat-no-effect')).toBe(null);
  });

  it('cannot reach the band when hours of it leave the root zone level below', () => {
    const course = heating(0);
    course.pass(30, 22, 24);
    course.pass(REACH_MIN - 31, 24, 24);
    expect(course.found).toEqual([]);
    expect(said(course.pass(1, 24, 24), 'band-out-of-reach')).toBe('present');
    expect(said(course.pass(10, 24, BAND.lowC), 'band-out-of-reach')).toBe('absent');
  });

  it('reaches for it yet while the root zone still rises', () => {
    const course = heating(0);
    course.pass(REACH_MIN + 60, 20, 20 + ((REACH_MIN + 60) / 60) * 0.5);
    expect(course.found).toEqual([]);
  });
});

describe('a band that the mat does not reach', () => {
  it('is said to be out of reach when the root zone stands level below it for hours', () => {
    const course = heating();
    course.pass(REACH_MIN + 60, 25.4, 25.4, { matOverK: 6 });
    expect(course.found).toEqual(['band-out-of-reach']);
  });

  it('is as good as reached within half a kelvin: a probe is no truer', () => {
    const course = heating();
    course.pass(REACH_MIN + 60, 25.6, 25.6, { matOverK: 6 });
    expect(course.found).toEqual([]);
  });
});

describe('a mat that is off', () => {
  const off = (): Course => {
    const course = new Course();
    course.switch(false);
    return course;
  };

  it('and goes on warming the root zone above its band for a quarter of an hour will not switch off', () => {
    const course = off();
    course.pass(STUCK_MIN + GUARD_LIMITS.stuckMinutes - 1, 27.1, 28);
    expect(course.found).toEqual([]);
    expect(said(course.pass(1, 28, 28.1), 'mat-stuck-on')).toBe('happened');
  });

  it('is not stuck where a warm room warms it more than the wet wool, if less than its own heat did', () => {
    const course = heating();
    course.pass(60, 22, 27.1, { matOverK: 2 });
    course.switch(false);
    course.pass(120, 27.1, 29, { matOverK: 1.1 });
    expect(course.found).toEqual([]);
    course.pass(60, 29, 31, { matOverK: 1.6 });
    expect(course.found).toEqual(['mat-stuck-on']);
  });

  it('is not judged while hands are near: a lid or a tray just put back moves both probes', () => {
    const course = off();
    course.pass(60, 27.1, 30, { handsNear: true });
    expect(course.found).toEqual([]);
  });

  it('is not stuck when the sun warms: the root zone does not pass the mat by that', () => {
    const course = off();
    course.pass(60, 27.1, 33, { matOverK: GUARD_LIMITS.stuckWarmK - 0.1 });
    expect(course.found).toEqual([]);
  });

  it('is not stuck below or inside the band, nor when the root zone is level above it', () => {
    const course = off();
    course.pass(60, 20, BAND.highC);
    expect(course.found).toEqual([]);
    const level = off();
    level.pass(60, 28, 28 + GUARD_LIMITS.stuckRiseK / 2);
    expect(level.found).toEqual([]);
  });

  it('is stuck without a band too, and when nobody knows how warm the mat is', () => {
    const unsown = off();
    unsown.pass(STUCK_MIN + GUARD_LIMITS.stuckMinutes, 22, 24, { band: null });
    expect(unsown.found).toEqual(['mat-stuck-on']);
    const unknown = off();
    unknown.pass(STUCK_MIN + GUARD_LIMITS.stuckMinutes, 27.1, 29, { matOverK: Number.NaN });
    expect(unknown.found).toEqual(['mat-stuck-on']);
  });

  it('back in the band, ends what was found of its effect; below it nothing is said', () => {
    const course = heating();
    course.pass(EFFECT_MIN, 22, 22, { matOverK: 0 });
    course.switch(false);
    expect(said(course.pass(1, 22, 22), 'mat-no-effect')).toBe(null);
    const back = course.pass(1, BAND.lowC, BAND.lowC);
    expect(said(back, 'mat-no-effect')).toBe('absent');
    expect(said(back, 'band-out-of-reach')).toBe('absent');
  });
});

describe('what a probe in doubt says', () => {
  it('is not judged by: the history begins anew after it', () => {
    const course = heating();
    course.pass(EFFECT_MIN - 1, 22, 22, { matOverK: 0 });
    expect(course.pass(1, 22, 22, { matOverK: 0, doubtful: true })).toEqual([]);
    course.pass(EFFECT_MIN, 22, 22, { matOverK: 0 });
    expect(course.found).toEqual([]);
    course.pass(1, 22, 22, { matOverK: 0 });
    expect(course.found).toEqual(['mat-no-effect']);
  });

  it('is not compared over a new calibration: that moves the reading, not the wool', () => {
    const course = new Course();
    course.switch(false);
    course.pass(60, 27.5, 27.5);
    course.pass(STUCK_MIN, 28.5, 28.5, { addedK: 1 });
    expect(course.found).toEqual([]);
  });
});
