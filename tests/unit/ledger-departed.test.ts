import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { departed, type Ledger, type Step, sumG } from '../../firmware/control/ledger';
import { ownWater } from '../../firmware/control/ledger-away';
import { isAway } from '../../firmware/control/weight';
import { holds } from '../properties';
import { TRAY, TrayOnScale } from './tray-on-scale';

describe('a thing that goes from a tray on which more came after it', () => {
  it('leaves that as it was: what the scale had said with it there is no water that has run off', () => {
    const tray = new TrayOnScale(3_600);
    tray.byHand(2_000);
    tray.byHand(1_500);
    tray.byHand(-2_000);
    for (let i = 0; i < 20; i++) {
      tray.grams -= 0.3;
      tray.rest(30);
    }
    expect(tray.state.ledger).toMatchObject([{ kind: 'on', stepG: 1_500 }]);
    expect(tray.waterG).toBeCloseTo(3_600 - 20 * 0.3, 6);
  });

  it('leaves a soaking one: no thing in the place of the tray passes for it as if that had run off', () => {
    const tray = new TrayOnScale(1_700);
    tray.byHand(4_000);
    tray.byHand(TRAY.capacityG - 1_700);
    tray.byHand(-4_000);
    expect(ownWater(tray.state.ledger, TRAY)).toHaveLength(1);
    tray.byHand(-TRAY.capacityG);
    tray.byHand(1_690);
    expect(isAway(tray.state, tray.grams, TRAY.dryG)).toBe(true);
  });
});

describe('the steps that are left', () => {
  const kind = fc.constantFrom('off', 'on', 'water', 'gone');
  const step = fc.record({ kind, stepG: fc.integer({ min: -3_000, max: 3_000 }) });
  /** Each after the one before, on a tray of 4 kg. */
  const ledger = fc.array(step, { maxLength: 6 }).map((steps): Ledger => {
    let afterG = 4_000;
    return steps.map((s, i): Step => {
      afterG += s.stepG;
      return { ...s, kind: s.kind as Step['kind'], afterG, atMs: i };
    });
  });

  it('add up to what the scale said after each, as if what went had never come', () => {
    holds(
      fc.property(ledger, fc.integer({ min: 0, max: 63 }), (steps, set) => {
        const gone = steps.filter((_, i) => (set & (1 << i)) !== 0);
        const left = departed(steps, gone);
        expect(left.map(({ atMs }) => atMs)).toEqual(
          steps.filter((s) => !gone.includes(s)).map(({ atMs }) => atMs),
        );
        left.forEach((s, i) => {
          expect(s.afterG).toBeCloseTo(4_000 + sumG(left.slice(0, i + 1)), 6);
        });
      }),
    );
  });

  it('are the same where nothing of them went', () => {
    holds(
      fc.property(ledger, (steps) => {
        expect(departed(steps, [])).toEqual(steps);
      }),
    );
  });
});
