import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { WeightWatch } from '../../firmware/guard/weight-watch';
import { SENSING_LIMITS, WEIGHT_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';
import { found, said } from './findings';
import { readings } from './readings';

const { risingG, fallingG } = WEIGHT_LIMITS;

describe('the scale itself', () => {
  const STATES = [
    ['silent', 'scale-silent'],
    ['saturated', 'scale-saturated'],
    ['noisy', 'scale-noisy'],
  ] as const;

  it.each(STATES)('%s is found, and absent when it is well again', (state, alarm) => {
    const watch = new WeightWatch();
    expect(found(watch.tick(readings({ scale: { state } })))).toEqual([alarm]);
    const well = watch.tick(readings());
    expect(found(well)).toEqual([]);
    expect(said(well, alarm)).toBe('absent');
  });

  it.each(STATES)("%s is nobody's trouble before it was calibrated", (state) => {
    const scale = { state, calibrated: false };
    expect(found(new WeightWatch().tick(readings({ scale })))).toEqual([]);
  });

  it('may be silent for a while after a start', () => {
    const silentAt = (uptimeMs: number) =>
      found(new WeightWatch().tick(readings({ uptimeMs, scale: { state: 'silent' } })));
    const startedMs = SENSING_LIMITS.scaleStartsMs;
    expect(silentAt(startedMs - 1)).toEqual([]);
    expect(silentAt(startedMs)).toEqual(['scale-silent']);
  });
});

describe('a weight that rises by itself', () => {
  it('is found in the second minute above what creep explains: the first may be a hand', () => {
    const watch = new WeightWatch();
    expect(watch.minute(4_000, 0, true)).toEqual([]);
    expect(watch.minute(4_000 + risingG + 1, 0, true)).toEqual([]);
    expect(watch.minute(4_000 + risingG + 2, 0, true)).toEqual([
      { alarm: 'weight-rising', is: 'happened', value: risingG + 2, limit: risingG },
    ]);
  });

  it('counts from the lowest it was, also when that was long ago and little by little', () => {
    const watch = new WeightWatch();
    for (const trayG of [4_000, 3_990, 3_980, 3_985, 3_995]) {
      expect(watch.minute(trayG, 0, true)).toEqual([]);
    }
    watch.minute(3_980 + risingG + 1, 0, true);
    expect(found(watch.minute(3_980 + risingG + 1, 0, true))).toEqual(['weight-rising']);
  });

  it('goes back in between and is forgiven', () => {
    const watch = new WeightWatch();
    watch.minute(4_000, 0, true);
    for (let i = 0; i < 10; i++) {
      expect(watch.minute(4_000 + risingG + 5, 0, true)).toEqual([]);
      expect(watch.minute(4_000 + risingG, 0, true)).toEqual([]);
    }
  });

  it('found once begins anew, and is not found again for the same water', () => {
    const watch = new WeightWatch();
    watch.minute(4_000, 0, true);
    watch.minute(4_100, 0, true);
    watch.minute(4_100, 0, true);
    for (let i = 0; i < 10; i++) expect(watch.minute(4_100, 0, true)).toEqual([]);
  });

  it('begins anew after a hand or a dose', () => {
    const watch = new WeightWatch();
    watch.minute(4_000, 0, true);
    watch.minute(4_100, 0, true);
    watch.forget();
    expect(watch.minute(4_100, 0, true)).toEqual([]);
    expect(watch.minute(4_100, 0, true)).toEqual([]);
  });
});

describe('a weight that falls by itself', () => {
  it('is found when it falls faster than wool can dry', () => {
    expect(new WeightWatch().minute(4_000, fallingG, true)).toEqual([]);
    expect(new WeightWatch().minute(4_000, fallingG + 1, true)).toEqual([
      { alarm: 'weight-falling', is: 'happened', value: fallingG + 1, limit: fallingG },
    ]);
  });

  it('says nothing while a soaked tray drains, nor while ten minutes are not known', () => {
    expect(new WeightWatch().minute(4_000, 500, false)).toEqual([]);
    expect(new WeightWatch().minute(4_000, Number.NaN, true)).toEqual([]);
  });
});

describe('over any course of minutes', () => {
  it('a tray that only dries never rises, and one that drains never falls', () => {
    const losses = fc.array(fc.double({ min: 0, max: 60, noNaN: true }), {
      maxLength: 120,
      size: 'max',
    });
    holds(
      fc.property(losses, (lost) => {
        const watch = new WeightWatch();
        let trayG = 9_000;
        for (const g of lost) {
          trayG -= g;
          expect(watch.minute(trayG, g * 10, false)).toEqual([]);
        }
      }),
    );
  });

  it('a weight within what creep explains is never found, whatever it does there', () => {
    const wander = fc.array(fc.double({ min: 4_000, max: 4_000 + risingG, noNaN: true }), {
      maxLength: 120,
      size: 'max',
    });
    holds(
      fc.property(wander, (course) => {
        const watch = new WeightWatch();
        for (const trayG of course) expect(watch.minute(trayG, 0, true)).toEqual([]);
      }),
    );
  });
});
