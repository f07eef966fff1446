import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DoseState, NO_DOSE, serviceRun } from '../../firmware/control/dose';
import {
  type DoseAhead,
  doseHeldBy,
  heatHeldBy,
  heldNow,
  isRunHeld,
  type RunConditions,
  serviceHeldBy,
  type WaterConditions,
  waitsForSomebody,
  waterHeldBy,
  waterHeldNow,
} from '../../firmware/control/interlock';
import { afterRun, NOT_RUN } from '../../firmware/control/pump-hour';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { LIMITER } from '../../shared/board/map';
import { HELD_REASONS, type HeldBy } from '../../shared/link/held';
import { HOLD, WEIGH } from '../base-profile';
import { holds } from '../properties';
import { WEIGHTS } from './readings';

/** Sown, calibrated, weighed, nobody near. */
const FREE: WaterConditions = {
  alarm: null,
  sown: true,
  hourSpent: false,
  chargeKept: true,
  scale: 'ok',
  pumpCalibrated: true,
  ...WEIGHTS,
  inTransplantHold: false,
  handled: false,
  away: false,
  otherFeed: false,
  quiet: false,
};

/** Every way to hold the water off, the gravest first: the order in which a grower hears of them. */
const BAD: readonly (readonly [HeldBy, Partial<WaterConditions>])[] = [
  ['dose-not-seen', { alarm: 'dose-not-seen' }],
  ['not-sown', { sown: false }],
  ['pump-hour', { hourSpent: true }],
  ['storage', { chargeKept: false }],
  ['scale', { scale: 'noisy' }],
  ['pump-not-calibrated', { pumpCalibrated: false }],
  ['capacity-unknown', { capacityG: Number.NaN }],
  ['transplant-hold', { inTransplantHold: true }],
  ['handling', { handled: true }],
  ['tray-off', { away: true }],
  ['feed-change', { otherFeed: true }],
  ['quiet-hours', { quiet: true }],
];

describe('water', () => {
  it('is free when nothing is against it', () => {
    expect(waterHeldBy(FREE)).toBe(null);
  });

  it.each(BAD)('is held by %s alone', (reason, condition) => {
    expect(waterHeldBy({ ...FREE, ...condition })).toBe(reason);
  });

  it('is held by every state of the scale but a good one, and by a dry weight nobody knows', () => {
    for (const scale of ['uncalibrated', 'silent', 'saturated', 'noisy'] as const) {
      expect(waterHeldBy({ ...FREE, scale })).toBe('scale');
    }
    expect(waterHeldBy({ ...FREE, dryG: Number.NaN })).toBe('capacity-unknown');
  });

  it('held by several things at once tells the gravest, in the order a grower should hear', () => {
    const which = fc.subarray([...BAD.keys()], { minLength: 1 });
    holds(
      fc.property(which, (chosen) => {
        const conditions = Object.assign({ ...FREE }, ...chosen.map((i) => BAD[i]?.[1]));
        expect(waterHeldBy(conditions)).toBe(BAD[Math.min(...chosen)]?.[0]);
      }),
    );
  });
});

describe('a dose that the hour would cut short', () => {
  const LEFT_MS = 20_000;
  /** 40 ml at 2 ml/s: 20 s of pump time, and as much is left of the hour. */
  const ahead: DoseAhead = {
    dose: NO_DOSE,
    ml: 40,
    mlPerS: 2,
    pumpHour: afterRun(NOT_RUN, 0, LIMITER.pumpMaxMsPerHour - LEFT_MS),
  };

  it('waits for the next, before it is weighed and while it is, and one that fits does not', () => {
    const weighing: DoseState = { phase: 'weighing', reason: 'dry-back', sinceMs: 0 };
    expect(doseHeldBy(null, ahead)).toBe(null);
    expect(doseHeldBy(null, { ...ahead, ml: 40.01 })).toBe('pump-hour');
    expect(doseHeldBy(null, { ...ahead, ml: 40.01, dose: weighing })).toBe('pump-hour');
    expect(doseHeldBy(null, { ...ahead, mlPerS: 1.9 })).toBe('pump-hour');
  });

  it('is not one that has begun, nor none at all', () => {
    const ran = {
      sinceMs: 0,
      plannedMl: 90,
      beforeG: 4_000,
      ranMs: 45_000,
      peakG: 4_000,
      shownMs: 0,
    };
    const proving: DoseState = { phase: 'proving', reason: 'dry-back', ...ran };
    expect(doseHeldBy(null, { ...ahead, ml: 90, dose: proving })).toBe(null);
    expect(doseHeldBy(null, { ...ahead, ml: 90, dose: serviceRun('prime', 9_000, 2) })).toBe(null);
    expect(doseHeldBy(null, { ...ahead, ml: 0, mlPerS: 0 })).toBe(null);
  });

  it('is held by what holds the water before that: it is told first', () => {
    for (const heldBy of [...HELD_REASONS, ...ALARM_NAMES]) {
      expect(doseHeldBy(heldBy, { ...ahead, ml: 90 })).toBe(heldBy);
    }
  });
});

describe('heat', () => {
  const free = {
    alarm: null,
    sown: true,
    byHand: false,
    away: false,
    probesSound: true,
    rests: false,
  };

  it('is free of a sown tray with sound probes', () => {
    expect(heatHeldBy(free)).toBe(null);
  });

  it('is held by an alarm, a tray not sown, a tray away, a probe in doubt, a rest: in this order', () => {
    const bad = {
      alarm: null,
      sown: false,
      byHand: false,
      away: true,
      probesSound: false,
      rests: true,
    };
    expect(heatHeldBy({ ...free, rests: true })).toBe('mat-rests');
    expect(heatHeldBy({ ...free, probesSound: false, rests: true })).toBe('probe');
    expect(heatHeldBy({ ...free, probesSound: false })).toBe('probe');
    expect(heatHeldBy({ ...bad, sown: true })).toBe('tray-off');
    expect(heatHeldBy(bad)).toBe('not-sown');
    expect(heatHeldBy({ ...bad, alarm: 'mat-hot' })).toBe('mat-hot');
  });

  it('is free without a crop while the mat is tried by hand, and held by all else that holds it', () => {
    const tried = { ...free, sown: false, byHand: true };
    expect(heatHeldBy(tried)).toBe(null);
    expect(heatHeldBy({ ...tried, probesSound: false })).toBe('probe');
    expect(heatHeldBy({ ...tried, away: true })).toBe('tray-off');
    expect(heatHeldBy({ ...tried, alarm: 'mat-hot' })).toBe('mat-hot');
  });

  it('is never on by one thing more that speaks against it', () => {
    const alarm = fc.option(fc.constantFrom(...ALARM_NAMES));
    const so = fc.boolean();
    const each = { alarm, sown: so, byHand: so, away: so, probesSound: so, rests: so };
    const conditions = fc.record(each);
    holds(
      fc.property(conditions, (any) => {
        if (heatHeldBy(any) === null) return;
        expect(heatHeldBy({ ...any, rests: true })).not.toBe(null);
        expect(heatHeldBy({ ...any, away: true })).not.toBe(null);
        expect(heatHeldBy({ ...any, probesSound: false })).not.toBe(null);
      }),
    );
  });
});

describe('a run of the pump by hand', () => {
  it('is held by what makes any run unsafe, and by no other alarm: it is how faults are looked for', () => {
    const holding = ALARM_NAMES.filter((alarm) => serviceHeldBy(alarm) !== null);
    expect(holding).toEqual(['restarting-often', 'pump-stuck-on']);
    for (const alarm of holding) expect(serviceHeldBy(alarm)).toBe(alarm);
    expect(serviceHeldBy(null)).toBe(null);
  });
});

describe('a dose', () => {
  const charged = {
    sinceMs: 0,
    plannedMl: 40,
    beforeG: 4_000,
    ranMs: 20_000,
    peakG: 4_000,
    shownMs: 0,
  };
  const proving = (reason: 'dry-back' | 'rescue' | 'opening'): DoseState => ({
    phase: 'proving',
    reason,
    ...charged,
  });
  const RUNNING: RunConditions = {
    dose: proving('dry-back'),
    need: null,
    heldBy: null,
    stage: WEIGH,
    alarm: null,
    hourSpent: false,
  };

  it('goes on while nothing holds the water off, though it is wanted no more', () => {
    expect(isRunHeld(RUNNING)).toBe(false);
  });

  it('stops by whatever holds the water off, a rescue too', () => {
    for (const heldBy of [...HELD_REASONS, ...ALARM_NAMES]) {
      expect(isRunHeld({ ...RUNNING, heldBy })).toBe(true);
      expect(isRunHeld({ ...RUNNING, dose: proving('rescue'), heldBy })).toBe(true);
    }
  });

  it('stops when its stage gives way to a hold, where a rescue alone goes on', () => {
    expect(isRunHeld({ ...RUNNING, stage: HOLD })).toBe(true);
    expect(isRunHeld({ ...RUNNING, stage: HOLD, dose: proving('opening') })).toBe(true);
    expect(isRunHeld({ ...RUNNING, stage: HOLD, dose: proving('rescue') })).toBe(false);
  });

  it('that would begin is judged by why it is wanted, and one under way by why it was', () => {
    const idle = { ...RUNNING, dose: NO_DOSE, stage: HOLD };
    expect(isRunHeld({ ...idle, need: 'rescue' })).toBe(false);
    expect(isRunHeld({ ...idle, need: 'dry-back' })).toBe(true);
    expect(isRunHeld({ ...RUNNING, stage: HOLD, need: 'rescue' })).toBe(true);
  });

  it('by hand is stopped by what makes any run unsafe and by the hour, by no reason or stage', () => {
    const byHand = { ...RUNNING, dose: serviceRun('prime', 5_000, 2) };
    holds(
      fc.property(
        fc.constantFrom(null, ...HELD_REASONS),
        fc.constantFrom(null, ...ALARM_NAMES),
        fc.constantFrom(null, HOLD, WEIGH),
        fc.boolean(),
        (heldBy, alarm, stage, hourSpent) => {
          expect(isRunHeld({ ...byHand, heldBy: alarm ?? heldBy, alarm, stage, hourSpent })).toBe(
            serviceHeldBy(alarm) !== null || hourSpent,
          );
        },
      ),
    );
  });
});

describe('what a status tells', () => {
  it('is what held at the last tick, but for a tray that was sown since', () => {
    expect(heldNow('not-sown', null)).toBe('not-sown');
    expect(heldNow('not-sown', WEIGH)).toBe(null);
    expect(heldNow('probe', WEIGH)).toBe('probe');
    expect(heldNow(null, null)).toBe(null);
  });

  it('of the water in a hold is the hold, when nothing graver holds it off', () => {
    expect(waterHeldNow(null, HOLD)).toBe('hold');
    expect(waterHeldNow('not-sown', HOLD)).toBe('hold');
    expect(waterHeldNow('scale', HOLD)).toBe('scale');
    expect(waterHeldNow(null, WEIGH)).toBe(null);
    expect(waterHeldNow(null, null)).toBe(null);
    expect(waterHeldNow('not-sown', null)).toBe('not-sown');
  });

  it('is never that water is free while anything holds it, but a sowing that is over', () => {
    const held = fc.constantFrom(...HELD_REASONS, ...ALARM_NAMES);
    holds(
      fc.property(held, fc.constantFrom(null, HOLD, WEIGH), (heldBy, stage) => {
        const free = heldBy === 'not-sown' && stage === WEIGH;
        expect(waterHeldNow(heldBy, stage) === null).toBe(free);
        expect(heldNow(heldBy, stage) === null).toBe(heldBy === 'not-sown' && stage !== null);
      }),
    );
  });
});

describe('water that is held off', () => {
  it('waits for somebody by a reason that does not end by itself, and is no alarm', () => {
    expect(HELD_REASONS.filter((reason) => waitsForSomebody(reason) === reason)).toEqual([
      'probe',
      'hold',
      'pump-hour',
      'storage',
      'scale',
      'pump-not-calibrated',
      'capacity-unknown',
      'handling',
    ]);
    expect(ALARM_NAMES.map(waitsForSomebody).every((reason) => reason === null)).toBe(true);
    expect(waitsForSomebody(null)).toBe(null);
  });
});
