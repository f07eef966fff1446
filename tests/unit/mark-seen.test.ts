import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seenAtMarkG } from '../../firmware/control/mark-weights';
import { MARK_LIMITS } from '../../firmware/limits';
import { holds } from '../properties';

const { trayMinG } = MARK_LIMITS;

describe('the weight that is written beside a mark', () => {
  it('is the one the grower gives, or what the scale reads of a tray: of none on it nothing is written', () => {
    const g = fc.integer({ min: -50, max: 9_000 });
    holds(
      fc.property(fc.option(g, { nil: undefined }), g, (givenG, grams) => {
        const scale = { state: 'ok', stable: true, grams, calibration: null } as const;
        const seenG = seenAtMarkG({ givenG, scale });
        if (givenG !== undefined) expect(seenG).toBe(givenG);
        else if (grams >= trayMinG) expect(seenG).toBe(grams);
        else expect(seenG).toBeNaN();
      }),
    );
  });
});
