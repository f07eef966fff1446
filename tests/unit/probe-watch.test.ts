import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { ProbeWatch } from '../../firmware/guard/probe-watch';
import { holds } from '../properties';
import { found, said } from './findings';
import { readings } from './readings';

const { rootZoneHotC, matHotC, hotHysteresisK, hotByMatMs } = GUARD_LIMITS;
const MAX_C = 34;

describe('a probe', () => {
  it('in good order gives nothing to find, and says so of each condition', () => {
    const findings = new ProbeWatch().tick(readings(), true, MAX_C, false);
    expect(found(findings)).toEqual([]);
    expect(findings.every(({ is }) => is === 'absent')).toBe(true);
  });

  it('open or short is found, sown or not, and absent when it is well again', () => {
    for (const [state, alarm] of [
      ['open', 'probe-open'],
      ['short', 'probe-short'],
    ] as const) {
      const watch = new ProbeWatch();
      const broken = readings({ rootZone: { state, celsius: Number.NaN } });
      expect(found(watch.tick(broken, false, MAX_C, false))).toEqual([alarm]);
      expect(found(watch.tick(broken, true, MAX_C, false))).toEqual([alarm]);
      expect(said(watch.tick(readings(), true, MAX_C, false), alarm)).toBe('absent');
    }
  });

  it('that stands still or jumps says something only of a sown tray', () => {
    const watch = new ProbeWatch();
    const frozen = readings({ rootZone: { state: 'frozen' } });
    const jumped = readings({ rootZone: { state: 'jumped' } });
    expect(found(watch.tick(frozen, false, MAX_C, false))).toEqual([]);
    expect(found(watch.tick(frozen, true, MAX_C, false))).toEqual(['probe-frozen']);
    expect(found(watch.tick(jumped, false, MAX_C, false))).toEqual([]);
    expect(found(watch.tick(jumped, true, MAX_C, false))).toEqual([]);
    const late = { ...jumped, uptimeMs: jumped.uptimeMs + GUARD_LIMITS.handsBeforeMs };
    expect(said(watch.tick(late, true, MAX_C, false), 'probe-jumped')).toBe('happened');
    expect(said(watch.tick(readings(), true, MAX_C, false), 'probe-frozen')).toBe('absent');
  });

  it('that jumps where hands are, or came within minutes, was moved by them', () => {
    const jumped = readings({ rootZone: { state: 'jumped' } });
    const later = (ms: number) => ({ ...jumped, uptimeMs: jumped.uptimeMs + ms });
    const watch = new ProbeWatch();
    expect(found(watch.tick(jumped, true, MAX_C, false))).toEqual([]);
    expect(found(watch.tick(later(60_000), true, MAX_C, true))).toEqual([]);
    expect(found(watch.tick(later(4 * 60_000), true, MAX_C, false))).toEqual([]);
  });

  it('on the mat that is open, short, or stands still on a sown tray has failed', () => {
    const failed = (state: 'open' | 'short' | 'frozen' | 'jumped', sown: boolean) =>
      found(new ProbeWatch().tick(readings({ mat: { state } }), sown, MAX_C, false));
    expect(failed('open', false)).toEqual(['mat-probe-failed']);
    expect(failed('short', false)).toEqual(['mat-probe-failed']);
    expect(failed('frozen', false)).toEqual([]);
    expect(failed('frozen', true)).toEqual(['mat-probe-failed']);
    expect(failed('jumped', true)).toEqual([]);
  });
});

describe('heat', () => {
  /** Heated by a mat that is 5 K warmer. */
  const rootZone = (celsius: number, uptimeMs = 0) =>
    readings({ rootZone: { celsius }, mat: { celsius: Math.min(celsius + 5, matHotC) }, uptimeMs });
  const mat = (celsius: number) => readings({ mat: { celsius } });
  /** A watch that has seen heat from the mat for long enough. */
  const heated = (celsius: number): ProbeWatch => {
    const watch = new ProbeWatch();
    watch.tick(rootZone(celsius, 0), true, MAX_C, false);
    watch.tick(rootZone(celsius, hotByMatMs), true, MAX_C, false);
    return watch;
  };

  it("is too much above the profile's limit, and at once above the board's whatever the profile says", () => {
    const hot = (celsius: number, limitC: number | null) =>
      found(new ProbeWatch().tick(rootZone(celsius), true, limitC, false));
    const lasting = (celsius: number) =>
      found(heated(celsius).tick(rootZone(celsius, hotByMatMs), true, MAX_C, false));
    expect(lasting(MAX_C)).toEqual([]);
    expect(hot(MAX_C + 0.1, MAX_C)).toEqual([]);
    expect(lasting(MAX_C + 0.1)).toEqual(['root-zone-hot']);
    expect(hot(rootZoneHotC, null)).toEqual([]);
    expect(hot(rootZoneHotC + 0.1, null)).toEqual(['root-zone-hot']);
    expect(hot(rootZoneHotC + 0.1, 90)).toEqual(['root-zone-hot']);
  });

  it('tells the temperature that decided, and the limit it met', () => {
    const findings = heated(36).tick(rootZone(36, hotByMatMs), true, MAX_C, false);
    expect(findings).toContainEqual({
      alarm: 'root-zone-hot',
      is: 'present',
      value: 36,
      limit: MAX_C,
    });
  });

  it('of the mat is told without a sown tray too', () => {
    expect(found(new ProbeWatch().tick(mat(matHotC + 0.1), false, null, false))).toEqual([
      'mat-hot',
    ]);
    expect(found(new ProbeWatch().tick(mat(matHotC), false, null, false))).toEqual([]);
  });

  it('once too much, is so until it is a kelvin below the limit', () => {
    const watch = heated(MAX_C + 0.1);
    expect(found(watch.tick(rootZone(MAX_C - hotHysteresisK + 0.1), true, MAX_C, false))).toEqual([
      'root-zone-hot',
    ]);
    expect(found(watch.tick(rootZone(MAX_C - hotHysteresisK), true, MAX_C, false))).toEqual([]);
    expect(found(watch.tick(rootZone(MAX_C - hotHysteresisK + 0.1), true, MAX_C, false))).toEqual(
      [],
    );
    watch.tick(mat(matHotC + 0.1), true, MAX_C, false);
    expect(found(watch.tick(mat(matHotC - hotHysteresisK + 0.1), true, MAX_C, false))).toEqual([
      'mat-hot',
    ]);
    expect(found(watch.tick(mat(matHotC - hotHysteresisK), true, MAX_C, false))).toEqual([]);
  });

  it('that nobody knows is none, and leaves nothing behind it', () => {
    const watch = heated(MAX_C + 1);
    expect(said(watch.tick(rootZone(Number.NaN), true, MAX_C, false), 'root-zone-hot')).toBe(
      'absent',
    );
    expect(found(watch.tick(rootZone(MAX_C), true, MAX_C, false))).toEqual([]);
  });

  it('over any course is found above what no root zone bears, and never a kelvin below it', () => {
    const course = fc.array(fc.double({ min: 10, max: 60 }), { maxLength: 100, size: 'max' });
    holds(
      fc.property(course, (temperatures) => {
        const watch = new ProbeWatch();
        for (const celsius of temperatures) {
          const is = said(watch.tick(rootZone(celsius), true, MAX_C, false), 'root-zone-hot');
          if (celsius > rootZoneHotC) expect(is).toBe('present');
          if (!(celsius > MAX_C - hotHysteresisK)) expect(is).not.toBe('present');
        }
      }),
    );
  });
});
