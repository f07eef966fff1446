import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SENSING_LIMITS } from '../../firmware/limits';
import { ProbeSense } from '../../firmware/sensing/probe';
import { LIMITER } from '../../shared/board/map';
import { SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';

const OPEN = LIMITER.openCode + 1;
const SHORT = LIMITER.shortCode - 1;
/** A made-up probe, hotter at lower codes as the real one: 0.02 K a code. */
const celsiusOf = (code: number): number => 70 - code / 50;
const codeOf = (celsius: number): number => (70 - celsius) * 50;

/** A probe read once a second; a true one never gives the same code twice. */
class Reading {
  readonly sense = new ProbeSense(celsiusOf);
  uptimeMs = 0;

  take(code: number, times = 1): void {
    for (let i = 0; i < times; i++) {
      this.uptimeMs += SECOND_MS;
      this.sense.take(code, this.uptimeMs, SECOND_MS);
    }
  }

  /** Noise of the converter: a hundredth of a code this way and that. */
  at(celsius: number, seconds: number): void {
    for (let s = 0; s < seconds; s++) this.take(codeOf(celsius) + (s % 2 ? 0.01 : -0.01));
  }
}

describe('a probe', () => {
  it('with a loose contact, bad at every second reading, is found out within a dozen', () => {
    const reading = new Reading();
    const states: string[] = [];
    for (let i = 0; i < 6; i++) {
      reading.take(OPEN);
      states.push(reading.sense.state);
      reading.at(25, 1);
    }
    expect(states).toContain('open');
  });

  it('with a contact that comes and goes for an hour has one fault, not one a second', () => {
    const reading = new Reading();
    const states: string[] = [];
    for (let i = 0; i < 900; i++) {
      reading.take(i % 2 ? OPEN : SHORT, 2);
      states.push(reading.sense.state);
      reading.at(25, 2);
      states.push(reading.sense.state);
    }
    const changes = states.filter((state, i) => state !== states[i - 1]);
    expect(changes).toEqual(['ok', 'open']);
  });

  it('tells its temperature at once, with its calibration', () => {
    const { sense } = new Reading();
    sense.calibrate(-0.4);
    sense.take(codeOf(25), SECOND_MS, SECOND_MS);
    expect(sense.celsius).toBeCloseTo(24.6, 9);
    expect([sense.state, sense.doubtful]).toEqual(['ok', false]);
  });

  it('is in doubt before its first reading', () => {
    const { sense } = new Reading();
    expect([sense.doubtful, sense.celsius]).toEqual([true, Number.NaN]);
  });

  it('follows slow change and smooths noise', () => {
    const probe = new Reading();
    probe.at(20, 60);
    for (let s = 0; s < 3_600; s++) probe.at(20 + s / 1200, 1);
    expect(probe.sense.celsius).toBeCloseTo(23, 1);
    expect(probe.sense.state).toBe('ok');
    const calm = probe.sense.celsius;
    probe.take(codeOf(calm + 1));
    expect(probe.sense.celsius - calm).toBeLessThan(0.2);
  });

  it('open or short is in doubt at the first such code, and a fault from the third in a row until a good minute', () => {
    for (const [code, fault] of [
      [OPEN, 'open'],
      [Number.NaN, 'open'],
      [SHORT, 'short'],
    ] as const) {
      const probe = new Reading();
      probe.at(25, 30);
      probe.take(code);
      expect([probe.sense.state, probe.sense.doubtful]).toEqual(['ok', true]);
      expect(probe.sense.celsius).toBeNaN();
      probe.take(code, SENSING_LIMITS.probeFaultTicks - 1);
      expect(probe.sense.state).toBe(fault);
      probe.at(25, SENSING_LIMITS.probeSoundTicks - 1);
      expect([probe.sense.state, probe.sense.doubtful]).toEqual([fault, true]);
      probe.at(25, 1);
      expect([probe.sense.state, probe.sense.doubtful]).toEqual(['ok', false]);
    }
  });

  it('at the very ends of the good range is good', () => {
    for (const code of [LIMITER.openCode, LIMITER.shortCode]) {
      const probe = new Reading();
      probe.take(code);
      expect(probe.sense.doubtful).toBe(false);
    }
  });

  it('that repeats one code exactly for half an hour is frozen; noise of a hundredth is life', () => {
    const probe = new Reading();
    probe.take(codeOf(25));
    probe.take(codeOf(25), SENSING_LIMITS.probeFrozenMs / SECOND_MS - 1);
    expect(probe.sense.state).toBe('ok');
    probe.take(codeOf(25));
    expect([probe.sense.state, probe.sense.doubtful]).toEqual(['frozen', true]);
    probe.at(25, 1);
    expect(probe.sense.state).toBe('ok');

    const alive = new Reading();
    alive.at(25, 2 * (SENSING_LIMITS.probeFrozenMs / SECOND_MS));
    expect(alive.sense.state).toBe('ok');
  });

  it('pulled out of the wool has jumped, and stays so until somebody has looked', () => {
    const probe = new Reading();
    probe.at(26, 300);
    probe.at(19, 60);
    expect([probe.sense.state, probe.sense.doubtful]).toEqual(['jumped', true]);
    probe.at(19, 3_600);
    expect(probe.sense.state).toBe('jumped');
    probe.sense.restartJudging();
    probe.at(19, 300);
    expect([probe.sense.state, probe.sense.doubtful]).toEqual(['ok', false]);
  });

  it('calibrated anew reads so at once, however far, and has not jumped', () => {
    const probe = new Reading();
    probe.sense.calibrate(-2);
    probe.at(25, 600);
    probe.sense.calibrate(2);
    expect(probe.sense.celsius).toBeCloseTo(27, 1);
    probe.at(25, 600);
    expect(probe.sense.celsius).toBeCloseTo(27, 1);
    expect(probe.sense.state).toBe('ok');
    probe.at(29, 120);
    expect(probe.sense.state).toBe('jumped');
  });

  it('creeping faster than wet wool can has jumped too, though each step is small', () => {
    const probe = new Reading();
    probe.at(22, 300);
    const perMin = SENSING_LIMITS.probeSlewKPerMin * 1.3;
    for (let s = 0; s < 600; s++) probe.at(22 + (perMin * s) / 60, 1);
    expect(probe.sense.state).toBe('jumped');
  });

  it('whose wire breaks in the middle of a reading, and holds again in one, has not jumped', () => {
    for (let startS = 60; startS < 180; startS++) {
      const probe = new Reading();
      probe.at(26, startS);
      const states = new Set<string>();
      const seen = (): unknown => states.add(probe.sense.state);
      // Half the board's conversions were of the open wire: a plausible code, and far too cold.
      probe.at(12, 1);
      seen();
      probe.take(OPEN, 30);
      seen();
      probe.at(14, 1);
      for (let s = 0; s < 150; s++) {
        probe.at(26, 1);
        seen();
      }
      expect(states).toEqual(new Set(['ok', 'open']));
    }
  });

  it('plugged in again after a fault is not taken for one that jumped', () => {
    const probe = new Reading();
    probe.at(26, 60);
    probe.take(OPEN, 60);
    probe.at(15, 300);
    expect(probe.sense.state).toBe('ok');
    expect(probe.sense.celsius).toBeCloseTo(15, 3);
  });
});

describe('over any codes', () => {
  const anyCode = fc.oneof(
    fc.double({ min: 0, max: 4095, noNaN: true }),
    fc.constantFrom(Number.NaN, 0, 4095, LIMITER.openCode, LIMITER.shortCode),
  );

  it('a temperature is told only from codes of a sound probe, and lies between them', () => {
    holds(
      fc.property(fc.array(anyCode, { maxLength: 200, size: 'max' }), (codes) => {
        const probe = new Reading();
        let [lowC, highC] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
        const untrue = codes.flatMap((code) => {
          probe.take(code);
          const { celsius, doubtful, state } = probe.sense;
          const bad = !(code >= LIMITER.shortCode && code <= LIMITER.openCode);
          const soundC = bad ? Number.NaN : celsiusOf(code);
          lowC = bad ? Number.POSITIVE_INFINITY : Math.min(lowC, soundC);
          highC = bad ? Number.NEGATIVE_INFINITY : Math.max(highC, soundC);
          const isTrue = bad
            ? Number.isNaN(celsius) && doubtful
            : celsius >= lowC - 1e-9 && celsius <= highC + 1e-9;
          return isTrue && (state === 'ok' || doubtful) ? [] : [{ code, celsius, doubtful, state }];
        });
        expect(untrue).toEqual([]);
      }),
    );
  });
});
