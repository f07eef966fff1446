import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  heatHeldBy,
  serviceHeldBy,
  type WaterConditions,
  waterHeldBy,
} from '../../firmware/control/interlock';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import type { HeldBy } from '../../shared/link/held';
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

describe('heat', () => {
  const free = { alarm: null, sown: true, away: false, probesSound: true };

  it('is free of a sown tray with sound probes', () => {
    expect(heatHeldBy(free)).toBe(null);
  });

  it('is held by an alarm, a tray not sown, a tray away, a probe in doubt: in this order', () => {
    const bad = { alarm: null, sown: false, away: true, probesSound: false };
    expect(heatHeldBy({ ...free, probesSound: false })).toBe('probe');
    expect(heatHeldBy({ ...bad, sown: true })).toBe('tray-off');
    expect(heatHeldBy(bad)).toBe('not-sown');
    expect(heatHeldBy({ ...bad, alarm: 'mat-hot' })).toBe('mat-hot');
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
