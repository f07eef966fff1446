/**
 * What must hold whatever happens: faults, hands, wrong clocks, power cuts and restarts in any order,
 * over days. Water is measured at the pump's terminals, not believed from the board's account.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PUMP_TRIM_LIMITS } from '../../firmware/limits';
import { ALARMS } from '../../shared/alarms/catalogue';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { Grower } from './grower';
import { anyCourse, play } from './mishaps';
import { profileWith } from './scenes';
import { Witness } from './witness';

const DAY_CAP_ML = 120;
const STAGE_CAP_ML = 260;
const RESCUE_ML = 30;
const DOSE_ML = 40;
/** A lease that a hang or a stage change leaves behind: two seconds of a pump of 1.3 ml/s. */
const LEASE_ML = 2.6;

/** Two months of simulated time, on whatever machine. */
const COURSES_TIMEOUT_MS = 240_000;

/** The narrowest bands that a profile may have: nothing else tries the switching times so hard. */
const PROFILE = profileWith({
  hold: {
    band: { lowC: 26, highC: 26.3 },
    rescue: { share: 0.05, doseMl: RESCUE_ML },
    end: { afterS: 2 * 86_400, mark: 'emerged' },
  },
  feed: { band: { lowC: 24, highC: 24.3 } },
  watering: { doseMl: DOSE_ML, maxDayMl: DAY_CAP_ML, maxStageMl: STAGE_CAP_ML },
});

/** A pump believed worn runs longer for its dose: witnessed at its true flow, it gives more. And never more than so much. */
const rescueMostMl = (pumpShare: number): number =>
  RESCUE_ML / Math.max(PUMP_TRIM_LIMITS.least, Math.min(1, pumpShare));

function course(seed: number): { grower: Grower; witness: Witness } {
  const grower = new Grower({ seed });
  grower.commission(PROFILE);
  const witness = new Witness(grower);
  return { grower, witness };
}

describe('under any course of mishaps', () => {
  it(
    'the caps hold, no alarm that drops the mat meets a warm switch, and the mat does not dither',
    () => {
      let pumpedS = 0;
      let switchings = 0;
      holds(
        fc.property(fc.integer({ min: 1, max: 1000 }), anyCourse, (seed, mishaps) => {
          const { witness } = course(seed);
          for (const mishap of mishaps) {
            play(witness, mishap);
            witness.run(mishap.thenMs);
          }
          expect(witness.mostInDayMl()).toBeLessThanOrEqual(DAY_CAP_ML + DOSE_ML);
          for (const { kind, ml, leastPumpShare } of witness.stages()) {
            const capMl = kind === 'hold' ? rescueMostMl(leastPumpShare) : STAGE_CAP_ML;
            expect(ml, kind).toBeLessThanOrEqual(capMl + LEASE_ML);
          }
          expect(witness.matOnAgainstAlarm).toEqual([]);
          expect(witness.dithering()).toEqual([]);
          pumpedS += witness.pumped.length;
          switchings += witness.switchings.length;
        }),
        { numRuns: 12 },
      );
      // The courses are worth something only when water and heat were really given in them.
      expect(pumpedS).toBeGreaterThan(300);
      expect(switchings).toBeGreaterThan(300);
    },
    COURSES_TIMEOUT_MS,
  );

  it('a quiet course: the stage cap is used up and not passed', () => {
    const { grower, witness } = course(3);
    grower.call('mark.set', { mark: 'emerged' });
    grower.bench.hand.setLid('off');
    witness.run(8 * DAY_MS);
    expect(witness.mostInDayMl()).toBeLessThanOrEqual(DAY_CAP_ML + LEASE_ML);
    const [stage] = witness.stages();
    expect(stage?.ml).toBeGreaterThan(STAGE_CAP_ML - DOSE_ML - LEASE_ML);
    expect(stage?.ml).toBeLessThanOrEqual(STAGE_CAP_ML + LEASE_ML);
  });

  it('a contact that is loose for a moment drops the mat, and the mat rests its least time', () => {
    const grower = new Grower({ seed: 5, room: { meanC: 12 } });
    grower.commission(PROFILE);
    const witness = new Witness(grower);
    witness.run(HOUR_MS);
    for (let i = 0; i < 10; i++) {
      // Long enough for one reading to fall into it, and for one only.
      grower.bench.fault('probe-open', true, 1500);
      witness.run(3 * MINUTE_MS);
    }
    expect(witness.switchings.filter(({ on }) => !on)).toHaveLength(10);
    expect(witness.dithering()).toEqual([]);
    expect(grower.status().heat).toMatchObject({ on: true, heldBy: null });
  });

  it('a course without mishaps but with every latched alarm in turn keeps the mat cold', () => {
    const { grower, witness } = course(4);
    for (const fault of ['probe-open', 'probe-short', 'mat-probe-open', 'probe-out'] as const) {
      grower.bench.fault(fault, true, HOUR_MS);
      witness.run(3 * HOUR_MS);
      expect(grower.status().alarms.some(({ alarm }) => ALARMS[alarm].dropsMat)).toBe(true);
      for (const { alarm } of grower.status().alarms) grower.call('alarm.clear', { alarm });
      witness.run(HOUR_MS);
    }
    expect(witness.matOnAgainstAlarm).toEqual([]);
  });
});
