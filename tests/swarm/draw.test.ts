/** The plan of a seed. */
import { describe, expect, it } from 'vitest';
import { checkProfile } from '../../shared/profile/rules';
import { drawPlan } from './draw';
import { type PlanEvent, STOP_MIN } from './plan';
import { planText } from './words';

const SEEDS = Array.from({ length: 300 }, (_, i) => i);
const PLANS = SEEDS.map(drawPlan);

describe('a plan', () => {
  it('is the same for the same seed, and another for another', () => {
    expect(SEEDS.map(drawPlan)).toEqual(PLANS);
    expect(new Set(PLANS.map((plan) => JSON.stringify(plan))).size).toBe(SEEDS.length);
  });

  it('is plain data: it survives being printed', () => {
    for (const plan of PLANS) expect(JSON.parse(JSON.stringify(plan))).toEqual(plan);
  });

  it('has a profile that the board accepts, and its events in order before all is put right', () => {
    for (const { profile, events, putRightMin } of PLANS) {
      if (profile !== null) expect(checkProfile(profile)).toEqual([]);
      const times = events.map(({ atMin }) => atMin);
      expect(times).toEqual([...times].sort((a, b) => a - b));
      expect(times.every((atMin) => atMin > 0 && atMin < putRightMin)).toBe(true);
    }
  });

  it('has, among many, every kind of happening', () => {
    const kinds = new Set(PLANS.flatMap(({ events }) => events.map(({ kind }) => kind)));
    const all: readonly PlanEvent['kind'][] = [
      'hand',
      'lid',
      'fault',
      'mark',
      'clock',
      'restart',
      'cut-in-write',
      'worn-flash',
      'soak-and-mark',
      'refill-and-mark',
      'recalibrate',
      'round',
      'next-stage',
    ];
    expect([...kinds].sort()).toEqual([...all].sort());
  });

  it('is what it was for the older seeds; of half of the later ones the tray stops on its scale for minutes only', () => {
    expect(new Set(PLANS.map(({ stopMin }) => stopMin))).toEqual(new Set([STOP_MIN]));
    const later = SEEDS.map((seed) => drawPlan(1_000_000 + seed));
    const brief = later.filter(({ stopMin }) => stopMin < 10);
    expect(brief.length).toBeGreaterThan(SEEDS.length / 3);
    expect(brief.length).toBeLessThan((2 * SEEDS.length) / 3);
  });

  it('is told in words, a line for each event', () => {
    for (const plan of PLANS) {
      expect(planText(plan).split('\n')).toHaveLength(plan.events.length + 3);
      expect(planText(plan)).not.toMatch(/undefined|NaN|null/);
    }
  });
});
