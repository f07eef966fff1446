/** What holds an output off, of whatever speaks against it at once: `interlock.ts`, whose rules one by one are `interlock.test.ts`. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DoseState, NO_DOSE } from '../../firmware/control/dose';
import {
  doseHeldBy,
  heatHeldBy,
  heldNow,
  serviceHeldBy,
  waitsForSomebody,
  waterHeldNow,
} from '../../firmware/control/interlock';
import { afterRun, NOT_RUN } from '../../firmware/control/pump-hour';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { LIMITER } from '../../shared/board/map';
import { HELD_REASONS, type HeldBy } from '../../shared/link/held';
import { HOLD, WEIGH } from '../base-profile';
import { holds } from '../properties';

const anyAlarm = fc.constantFrom(null, ...ALARM_NAMES);
const anyHeld = fc.constantFrom(null, ...HELD_REASONS, ...ALARM_NAMES);
const anyStage = fc.constantFrom(null, HOLD, WEIGH);

describe('a mat', () => {
  const conditions = fc.record({
    alarm: anyAlarm,
    sown: fc.boolean(),
    byHand: fc.boolean(),
    away: fc.boolean(),
    probesSound: fc.boolean(),
    rests: fc.boolean(),
  });

  it('heats a tray that is sown, or one that is tried, there, with sound probes, and no other', () => {
    holds(
      fc.property(conditions, (now) => {
        const { alarm, sown, byHand, away, probesSound, rests } = now;
        const isFree = heatHeldBy(now) === null;
        expect(isFree).toBe(
          [alarm === null, sown || byHand, !away, probesSound, !rests].every(Boolean),
        );
      }),
      { numRuns: 200 },
    );
  });

  it('is held by the same reason, or a graver one, whatever else speaks against it', () => {
    const ORDER: readonly (HeldBy | null)[] = ['not-sown', 'tray-off', 'probe', 'mat-rests', null];
    const rank = (held: HeldBy | null) => ORDER.indexOf(held);
    const worse = fc.constantFrom(
      [{ away: true }, 'tray-off'] as const,
      [{ probesSound: false }, 'probe'] as const,
      [{ rests: true }, 'mat-rests'] as const,
    );
    holds(
      fc.property(conditions, worse, (now, [more, reason]) => {
        const [before, after] = [heatHeldBy(now), heatHeldBy({ ...now, ...more })];
        if (now.alarm !== null) expect([before, after]).toEqual([now.alarm, now.alarm]);
        else expect(rank(after)).toBe(Math.min(rank(before), rank(reason)));
      }),
      { numRuns: 200 },
    );
  });
});

describe('a dose', () => {
  const phase = fc.constantFrom<DoseState>(NO_DOSE, {
    phase: 'weighing',
    sinceMs: 0,
    reason: 'dry-back',
  });
  const ml = fc.integer({ min: 1, max: 400 });

  it('that fits into the hour does so in part as well, and one that does not waits, however much more it is', () => {
    holds(
      fc.property(
        phase,
        ml,
        fc.nat(400),
        fc.integer({ min: 1, max: 9 }),
        fc.nat(),
        (dose, doseMl, moreMl, mlPerS, ran) => {
          const ranMs = ran % LIMITER.pumpMaxMsPerHour;
          const pumpHour = afterRun(NOT_RUN, 0, ranMs);
          const held = (ofMl: number) => doseHeldBy(null, { dose, ml: ofMl, mlPerS, pumpHour });
          const isLong = (doseMl / mlPerS) * 1_000 > LIMITER.pumpMaxMsPerHour - ranMs;
          expect(held(doseMl)).toBe(isLong ? 'pump-hour' : null);
          if (isLong) expect(held(doseMl + moreMl)).toBe('pump-hour');
          expect(held(0)).toBeNull();
        },
      ),
    );
  });

  it('is held by what holds the water, whatever is left of the hour, and never freed by it', () => {
    holds(
      fc.property(anyHeld, phase, ml, (heldBy, dose, ofMl) => {
        const spent = afterRun(NOT_RUN, 0, LIMITER.pumpMaxMsPerHour);
        const ahead = { dose, ml: ofMl, mlPerS: 2, pumpHour: spent };
        expect(doseHeldBy(heldBy, ahead)).toBe(heldBy ?? 'pump-hour');
      }),
    );
  });
});

describe('what is told to hold an output off now', () => {
  it('is what did at the last tick, but for a sowing since; the water adds the hold of a stage, where nothing else does', () => {
    holds(
      fc.property(anyHeld, anyStage, (heldBy, stage) => {
        const now = heldNow(heldBy, stage);
        expect([heldBy, null]).toContain(now);
        if (now !== heldBy) expect([heldBy, stage === null]).toEqual(['not-sown', false]);
        if (stage !== null) expect(now).not.toBe('not-sown');
        const water = waterHeldNow(heldBy, stage);
        if (water !== now) expect([water, now, stage]).toEqual(['hold', null, HOLD]);
        if (stage === HOLD) expect(water).not.toBeNull();
      }),
      { numRuns: 400 },
    );
  });

  it('waits for somebody by itself or not at all; an alarm has its own word, and a run by hand few', () => {
    holds(
      fc.property(anyHeld, anyAlarm, (heldBy, alarm) => {
        expect([heldBy, null]).toContain(waitsForSomebody(heldBy));
        expect(waitsForSomebody(alarm)).toBeNull();
        expect([alarm, null]).toContain(serviceHeldBy(alarm));
      }),
    );
  });
});
