import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type DoseEnd,
  type DoseInput,
  type DoseState,
  type DoseStep,
  NO_DOSE,
  nextDose,
  serviceRun,
} from '../../firmware/control/dose';
import { WATER_LIMITS } from '../../firmware/limits';
import { PUMP_LEASE_MAX_MS } from '../../shared/board/map';
import { SECOND_MS } from '../../shared/units/time';
import { holds } from '../properties';

const CALM: DoseInput = {
  uptimeMs: 0,
  dtMs: SECOND_MS,
  need: 'dry-back',
  allowedMl: 20,
  held: false,
  handled: false,
  grams: 4_000,
  settled: true,
  noiseG: 0.2,
  fullG: 4_500,
  thingsG: 0,
  mlPerS: 2,
  gPerMl: 1,
  soakInMs: 120_000,
  dryingGPerMs: 0,
};

/** A pump as the board drives it: it runs until its lease is over, and never longer. */
class Pump {
  ranMs = 0;
  #leftMs = 0;

  pass(dtMs: number): void {
    const ran = Math.min(dtMs, this.#leftMs);
    this.ranMs += ran;
    this.#leftMs -= ran;
  }

  lease(ms: number): void {
    if (!(ms <= PUMP_LEASE_MAX_MS)) throw new RangeError(`The pump has no lease of ${ms} ms.`);
    this.#leftMs = ms;
  }
}

/** Ticks a second apart until a dose has ended or `maxTicks` are over. */
class Dosing {
  state: DoseState = NO_DOSE;
  uptimeMs = 0;
  readonly pump = new Pump();
  readonly began: number[] = [];
  readonly ended: DoseEnd[] = [];

  tick(change: Partial<DoseInput> = {}): DoseStep {
    const dtMs = change.dtMs ?? SECOND_MS;
    this.uptimeMs += dtMs;
    this.pump.pass(dtMs);
    const step = nextDose(this.state, { ...CALM, ...change, dtMs, uptimeMs: this.uptimeMs });
    this.state = step.state;
    this.pump.lease(step.leaseMs);
    if (step.beginsMl > 0) this.began.push(step.beginsMl);
    if (step.ended !== null) this.ended.push(step.ended);
    return step;
  }

  until(phase: DoseState['phase'], change: Partial<DoseInput> = {}): void {
    for (let i = 0; this.state.phase !== phase; i++) {
      if (i > 2_000) throw new Error(`never came to ${phase}`);
      this.tick(change);
    }
  }
}

describe('a dose', () => {
  it('is weighed, given, left to soak in and weighed again, in this order', () => {
    const dosing = new Dosing();
    const phases = new Set<string>();
    while (dosing.ended.length === 0) {
      const given = dosing.pump.ranMs > 0;
      dosing.tick({ grams: given ? 4_019 : 4_000 });
      phases.add(dosing.state.phase);
    }
    expect([...phases]).toEqual(['weighing', 'dosing', 'soaking-in', 'proving', 'idle']);
    expect(dosing.began).toEqual([20]);
    expect(dosing.pump.ranMs).toBe(10_000);
    expect(dosing.ended[0]).toEqual({
      reason: 'dry-back',
      verdict: 'seen',
      plannedMl: 20,
      ranMs: 10_000,
      beforeG: 4_000,
      gainedG: 19,
      driedG: 0,
      drained: false,
      came: false,
    });
  });

  it('waits for a settled weight, and gives up when none comes', () => {
    const dosing = new Dosing();
    dosing.until('weighing');
    for (let s = 0; s <= WATER_LIMITS.settleMaxMs / SECOND_MS; s++) {
      dosing.tick({ settled: false });
    }
    expect(dosing.state.phase).toBe('idle');
    expect(dosing.began).toEqual([]);
  });

  it('soaks in for its whole time before it is weighed', () => {
    const dosing = new Dosing();
    dosing.until('soaking-in');
    const sinceMs = dosing.uptimeMs;
    dosing.until('proving');
    expect(dosing.uptimeMs - sinceMs).toBe(CALM.soakInMs);
  });

  it('is not begun without need, while held, with a hand on the tray, or when the caps leave none', () => {
    const none: Partial<DoseInput>[] = [
      { need: null },
      { held: true },
      { handled: true },
      { allowedMl: 0 },
    ];
    for (const change of none) {
      const dosing = new Dosing();
      const idle = dosing.state;
      expect(dosing.tick(change).state).toBe(idle);
      if (change.allowedMl === 0) continue;
      dosing.until('weighing');
      dosing.tick(change);
      expect(dosing.state.phase).toBe('idle');
    }
  });

  it('too short for the pump, or of a pump without a rate, is not given', () => {
    for (const change of [{ allowedMl: 0.9 }, { mlPerS: Number.NaN }]) {
      const dosing = new Dosing();
      for (let i = 0; i < 10; i++) dosing.tick(change);
      expect(dosing.began).toEqual([]);
      expect(dosing.pump.ranMs).toBe(0);
    }
  });

  it('stops at the tick that holds it, and says how long the pump ran', () => {
    const dosing = new Dosing();
    dosing.until('dosing');
    for (let i = 0; i < 3; i++) dosing.tick();
    expect(dosing.tick({ held: true }).leaseMs).toBe(0);
    expect(dosing.ended[0]).toMatchObject({ verdict: 'stopped', ranMs: 4_000 });
    expect(dosing.ended[0]?.gainedG).toBeNaN();
  });

  it('touched by a hand while it runs, soaks in or is weighed proves nothing', () => {
    for (const phase of ['dosing', 'soaking-in', 'proving'] as const) {
      const dosing = new Dosing();
      dosing.until(phase);
      dosing.tick({ handled: true, settled: false });
      expect(dosing.ended[0]?.verdict).toBe('handled');
      expect(dosing.state.phase).toBe('idle');
    }
  });

  /** 20 ml that are there at first, and of which `leftG` are left when they are weighed. */
  const ranOut = (beforeG: number, peakG: number, leftG: number, thingsG = 0) => {
    const dosing = new Dosing();
    dosing.until('soaking-in', { grams: beforeG });
    dosing.tick({ grams: peakG });
    dosing.until('idle', { grams: beforeG + leftG, thingsG });
    return dosing.ended[0];
  };

  it('that ran out of a full tray again was seen when it came', () => {
    expect(ranOut(4_510, 4_529, 3)).toMatchObject({ verdict: 'seen', drained: true, gainedG: 3 });
    expect(ranOut(4_510, 4_529, 18)).toMatchObject({ verdict: 'seen', drained: false });
  });

  it('of which some ran out of a full tray is no measure of the pump', () => {
    expect(ranOut(4_510, 4_529, 16)).toMatchObject({ verdict: 'seen', drained: true, gainedG: 16 });
    expect(ranOut(4_300, 4_319, 16)).toMatchObject({ verdict: 'seen', drained: false });
  });

  it('that is lost from a tray with room for it, or never came to a full one, was not seen', () => {
    expect(ranOut(4_300, 4_319, 3)).toMatchObject({ verdict: 'not-seen', drained: false });
    expect(ranOut(4_510, 4_520, 3)).toMatchObject({ verdict: 'not-seen', drained: false });
    expect(ranOut(4_510, 4_510, 0)).toMatchObject({ verdict: 'not-seen', drained: false });
  });

  it('is no proof where the tray would be full with what is taken for a thing on it', () => {
    const doubted = (thingsG: number, peakG: number) => ranOut(4_300, peakG, 3, thingsG);
    expect(doubted(300, 4_319)).toMatchObject({ verdict: 'unproved', drained: true });
    expect(doubted(300, 4_300)).toMatchObject({ verdict: 'not-seen', drained: false });
    expect(doubted(100, 4_319)).toMatchObject({ verdict: 'not-seen', drained: false });
    expect(doubted(-300, 4_319)).toMatchObject({ verdict: 'not-seen', drained: false });
  });

  it('tells what the tray dried by until it was weighed, waiting for the scale included', () => {
    const dosing = new Dosing();
    const dries = { dryingGPerMs: 0.001 / SECOND_MS };
    dosing.until('proving', dries);
    for (let s = 0; s < 300; s++) dosing.tick({ ...dries, settled: false });
    dosing.until('idle', { ...dries, grams: 4_019 });
    // 10 s of pump, 120 s of soaking in, 300 s until the scale had settled.
    expect(dosing.ended[0]?.driedG).toBeCloseTo(0.43, 2);
  });

  it('that a hand spoils as it soaks in has come, if the scale had shown it for a while', () => {
    /** 20 ml, and then what the scale reads, each for so many seconds, until a hand is noticed. */
    const spoiled = (...read: readonly (readonly [number, number])[]) => {
      const dosing = new Dosing();
      dosing.until('soaking-in');
      for (const [gainedG, forS] of read) {
        for (let s = 0; s < forS; s++) dosing.tick({ grams: 4_000 + gainedG });
      }
      dosing.tick({ grams: 4_500, handled: true });
      return dosing.ended[0];
    };
    const enoughS = WATER_LIMITS.shownMs / SECOND_MS;
    const came = { verdict: 'handled', gainedG: Number.NaN, came: true };
    const notCame = { ...came, came: false };
    expect(spoiled([19, enoughS])).toMatchObject(came);
    expect(spoiled([19, enoughS - 1])).toMatchObject(notCame);
    expect(spoiled([0, 60])).toMatchObject(notCame);
    expect(spoiled([12, 60])).toMatchObject(notCame);
    // A can that was poured is no dose.
    expect(spoiled([40, 60])).toMatchObject(notCame);
    // What a hand lays on or takes off before it is noticed.
    expect(spoiled([19, enoughS], [45, 1], [75, 1])).toMatchObject(came);
    expect(spoiled([19, enoughS], [-30, 1])).toMatchObject(came);
    expect(spoiled([0, 60], [20, 1], [40, 1])).toMatchObject(notCame);
    expect(spoiled([19, enoughS - 1], [0, 1], [19, 1])).toMatchObject(notCame);
  });

  it('that can never be weighed ends unproved', () => {
    const dosing = new Dosing();
    dosing.until('proving');
    while (dosing.ended.length === 0) dosing.tick({ settled: false });
    expect(dosing.ended[0]?.verdict).toBe('unproved');
  });
});

describe('a run of the pump by hand', () => {
  it('runs its time whether or not the tray is touched, and proves nothing', () => {
    const dosing = new Dosing();
    dosing.state = serviceRun('prime', 7_500, 2);
    expect(dosing.state.plannedMl).toBe(15);
    while (dosing.ended.length === 0) dosing.tick({ handled: true, need: null, settled: false });
    expect(dosing.pump.ranMs).toBe(7_500);
    expect(dosing.ended[0]).toMatchObject({ reason: 'prime', verdict: 'unproved', ranMs: 7_500 });
  });
});

describe('the pump over any course of events', () => {
  const event = fc.record({
    dtMs: fc.integer({ min: 1, max: 8_000 }),
    need: fc.constantFrom('dry-back' as const, 'rescue' as const, null),
    allowedMl: fc.double({ min: 0, max: 50, noNaN: true }),
    held: fc.boolean(),
    handled: fc.boolean(),
    settled: fc.boolean(),
    soakInMs: fc.integer({ min: 0, max: 20_000 }),
  });
  const mostly = fc.oneof(
    { weight: 5, arbitrary: event.map((e) => ({ ...e, held: false, handled: false })) },
    { weight: 1, arbitrary: event },
  );

  it('never gives more than was granted and charged beforehand', () => {
    holds(
      fc.property(fc.array(mostly, { maxLength: 150, size: 'max' }), (events) => {
        const dosing = new Dosing();
        let mostBeyondMl = 0;
        for (const change of events) {
          dosing.tick(change);
          const chargedMl = dosing.began.reduce((sum, ml) => sum + ml, 0);
          const givenMl = (dosing.pump.ranMs / 1000) * CALM.mlPerS;
          mostBeyondMl = Math.max(mostBeyondMl, givenMl - chargedMl);
        }
        expect(mostBeyondMl).toBeLessThanOrEqual(1e-9);
      }),
    );
  });

  it('is off whenever no dose is being given, and at once when held', () => {
    holds(
      fc.property(fc.array(mostly, { maxLength: 150, size: 'max' }), (events) => {
        const dosing = new Dosing();
        const wrongly = events.filter((change) => {
          const { leaseMs } = dosing.tick(change);
          return leaseMs !== 0 && (change.held || dosing.state.phase !== 'dosing');
        });
        expect(wrongly).toEqual([]);
      }),
    );
  });

  it('ends every dose it began, once, and tells of no other', () => {
    holds(
      fc.property(fc.array(mostly, { maxLength: 150, size: 'max' }), (events) => {
        const dosing = new Dosing();
        for (const change of events) dosing.tick(change);
        for (let i = 0; i < 60; i++) dosing.tick({ held: true });
        dosing.until('idle', { need: null });
        expect(dosing.ended.map(({ plannedMl }) => plannedMl)).toEqual(dosing.began);
        const ranMs = dosing.ended.reduce((sum, dose) => sum + dose.ranMs, 0);
        expect(ranMs).toBe(dosing.pump.ranMs);
      }),
    );
  });
});
