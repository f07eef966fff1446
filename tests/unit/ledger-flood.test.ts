import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  EMPTY_LEDGER,
  flowedIn,
  foreignG,
  type Ledger,
  type Step,
} from '../../firmware/control/ledger';
import { book } from '../../firmware/control/ledger-booking';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { HOUR_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { SEEN_AT_ONCE, TRAY } from './tray-on-scale';

const rangeG = TRAY.capacityG - TRAY.dryG;
const overfullG = WEIGHT_LIMITS.overfillShare * rangeG;
/** It came at once, and some of it ran off. */
const came = (stepG: number): Step => ({
  kind: 'water',
  stepG,
  afterG: TRAY.capacityG + stepG,
  atMs: 0,
  flowed: true,
  ranOff: true,
});
/** The ledger of a tray of `waterG`, once a hand has taken `takenG` from it hours later. */
function takenFrom(ledger: Ledger, waterG: number, takenG: number, possible = TRAY): Ledger {
  const change = { stepG: -takenG, waterG, afterG: waterG - takenG, uptimeMs: 5 * HOUR_MS };
  return book(ledger, { ...SEEN_AT_ONCE, ...change }, possible);
}

describe('what is taken from a tray that was flooded', () => {
  it('takes off what came while a flood ran off, where it still stood above the wool an hour later', () => {
    const above = TRAY.capacityG + overfullG;
    const takenOff = (stepG: number, waterG: number, uptimeMs: number) => {
      const flooded = flowedIn(EMPTY_LEDGER, 600, waterG, 0);
      const change = {
        stepG,
        waterG,
        afterG: waterG + stepG,
        uptimeMs,
        ...SEEN_AT_ONCE,
      };
      return book(flooded, change, TRAY).at(-1)?.kind;
    };
    const driedG = WEIGHT_LIMITS.awayDriedSharePerH * rangeG;
    expect(takenOff(-(overfullG + driedG), above + 1, HOUR_MS)).toBe('water');
    // Sooner it may have been the flood's own; so may what the wool holds; wool dries no further; no more came.
    expect(takenOff(-(overfullG + driedG), above + 1, HOUR_MS - 1)).toBe('off');
    expect(takenOff(-(overfullG + driedG), above - 1, HOUR_MS)).toBe('off');
    expect(takenOff(-(overfullG + driedG + 2), above + 1, HOUR_MS)).toBe('off');
    expect(takenOff(-620, above + 1, 10 * HOUR_MS)).toBe('off');
  });

  it('takes off what came while a flood ran off, and all that was put on it later, in one', () => {
    const waterG = TRAY.capacityG + 400;
    const flooded = flowedIn(EMPTY_LEDGER, 700, waterG, 0);
    const on = (stepG: number, afterG: number) => ({ kind: 'on', stepG, afterG, atMs: 0 }) as const;
    const stood = [on(500, waterG + 500), on(300, waterG + 800)];
    const takenOff = (stepG: number) => {
      const change = { ...SEEN_AT_ONCE, stepG, waterG, afterG: waterG + 800 + stepG };
      return book([...flooded, ...stood], { ...change, uptimeMs: 3 * HOUR_MS }, TRAY);
    };
    expect(takenOff(-800 - 450)).toMatchObject([...flooded, { kind: 'water', stepG: -450 }]);
    // No more stood in the flood than came with it.
    expect(takenOff(-800 - 760).at(-1)?.kind).toBe('off');
  });

  it('is its flood, set down again as it runs off, by as much less as its plants are thought to weigh', () => {
    const taken = (plantsG: number) => {
      const possible = { capacityG: TRAY.capacityG + plantsG, dryG: TRAY.dryG + plantsG, plantsG };
      const flooded = flowedIn(EMPTY_LEDGER, 330, TRAY.capacityG + 330, 5 * HOUR_MS);
      return takenFrom(flooded, TRAY.capacityG + 250, 224, possible).at(-1)?.kind;
    };
    expect(taken(0)).toBe('water');
    expect(taken(44)).toBe('water');
  });
});

describe('a thing that came with water, of which some ran off', () => {
  it('is known as it is taken off: the tray is as dry as it weighs', () => {
    const waterG = TRAY.capacityG - 400;
    const ledger = takenFrom([came(919)], waterG, 605);
    expect(foreignG(ledger)).toBe(0);
    expect(ledger).toMatchObject([{ kind: 'water', stepG: 919 - 605, flowed: true }]);
    expect(ledger[0]?.ranOff).toBeUndefined();
  });

  it('leaves no water behind where all of it goes', () => {
    expect(takenFrom([came(600)], TRAY.capacityG - 400, 595)).toEqual([]);
  });

  it('is no lid, and no more than came', () => {
    const kindOf = (takenG: number) =>
      takenFrom([came(600)], TRAY.capacityG - 400, takenG).at(-1)?.kind;
    expect(kindOf(WEIGHT_LIMITS.goesMostG)).toBe('off');
    expect(kindOf(WEIGHT_LIMITS.goesMostG + 1)).toBe('water');
    expect(kindOf(620)).toBe('off');
  });

  it('never leaves the tray wetter than it weighs, whatever of it goes', () => {
    const g = fc.integer({ min: WEIGHT_LIMITS.goesMostG + 1, max: 2_000 });
    holds(
      fc.property(g, g, (cameG, takenG) => {
        fc.pre(takenG <= cameG);
        expect(foreignG(takenFrom([came(cameG)], TRAY.capacityG - 400, takenG))).toBe(0);
      }),
    );
  });
});
