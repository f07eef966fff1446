/** What is left of a plan that fails. */
import { describe, expect, it } from 'vitest';
import { drawPlan } from './draw';
import type { Plan, PlanEvent } from './plan';
import { SHRINK_RUNS_MOST, shrink } from './shrink';

const RESTART: PlanEvent = { kind: 'restart', cause: 'watchdog', atMin: 900 };
const LEAK: PlanEvent = { kind: 'fault', fault: 'leak', forMin: 400, atMin: 1_000 };
const CLOCK: PlanEvent = { kind: 'clock', wrongByMin: -5_000, atMin: 1_100 };

const BUSY: Plan = {
  ...drawPlan(7),
  events: [
    ...Array.from({ length: 12 }, (_, i): PlanEvent => ({ kind: 'round', atMin: 10 + i })),
    RESTART,
    LEAK,
    { kind: 'next-stage', atMin: 1_050 },
    CLOCK,
  ],
  putRightMin: 3_000,
};

const hasKind = ({ events }: Plan, kind: PlanEvent['kind']): boolean =>
  events.some((event) => event.kind === kind);

describe('a plan that fails', () => {
  it('is left with the events that it takes', () => {
    const fails = (plan: Plan): boolean => hasKind(plan, 'restart') && hasKind(plan, 'fault');
    const { plan } = shrink(BUSY, fails);
    expect(plan.events.map(({ kind }) => kind)).toEqual(['restart', 'fault']);
    expect(fails(plan)).toBe(true);
  });

  it('is left with the length that it takes', () => {
    const fails = ({ events }: Plan): boolean =>
      events.some((event) => event.kind === 'fault' && event.forMin >= 30);
    const { plan } = shrink(BUSY, fails);
    expect(plan.events).toMatchObject([{ kind: 'fault', atMin: 1 }]);
    const [leak] = plan.events;
    expect(leak?.kind === 'fault' ? leak.forMin : 0).toBeLessThan(60);
    expect(plan.putRightMin).toBeLessThan(20);
    expect(plan).toMatchObject({ profile: null, skipStages: 0, room: { meanC: 20, swingK: 0 } });
  });

  it('keeps its own room where it takes that', () => {
    const { plan } = shrink(BUSY, ({ room }) => room.meanC === BUSY.room.meanC);
    expect(plan.room.meanC).toBe(BUSY.room.meanC);
    expect(plan.events).toEqual([]);
  });

  it('that cannot be made smaller is left as it is, after a bounded number of runs', () => {
    const { plan, runs } = shrink(BUSY, () => false);
    expect(plan).toEqual(BUSY);
    expect(runs).toBeLessThanOrEqual(SHRINK_RUNS_MOST);
  });
});
