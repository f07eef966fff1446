import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Crop, emergedBy, markedCrop } from '../../firmware/control/crop';
import type { StageChange } from '../../firmware/control/stages';
import { WATER_LIMITS } from '../../firmware/limits';
import { MARKS, type Mark } from '../../shared/profile/profile';
import { DAY_MS } from '../../shared/units/time';
import { HOLD, PROFILE, WEIGH } from '../base-profile';
import { holds } from '../properties';

const SOWN: Crop = { sinceEmergedMs: Number.NaN, pieces: Number.NaN, transplantHoldMs: 0 };
const UP: Crop = { sinceEmergedMs: 3 * DAY_MS, pieces: 60, transplantHoldMs: DAY_MS };
/** Into stage 0, a hold, or 1, which waters. */
const into = (index: number): StageChange => ({
  state: { index, runMs: 0, staying: false },
  reason: 'mark',
});
const marked = (crop: Crop, mark: Mark, change: StageChange | null = null): Crop =>
  markedCrop(crop, mark, change, PROFILE);

describe('a transplant', () => {
  it('brings three days without water where the profile does not speak of it', () => {
    expect(marked(SOWN, 'transplanted').transplantHoldMs).toBe(WATER_LIMITS.transplantHoldMs);
  });

  it('brings them too where the stage it leads to waters, and not where that is a hold of its own', () => {
    expect(marked(SOWN, 'transplanted', into(1)).transplantHoldMs).toBe(
      WATER_LIMITS.transplantHoldMs,
    );
    expect(marked(SOWN, 'transplanted', into(0)).transplantHoldMs).toBe(0);
    expect(marked(UP, 'transplanted', into(0)).transplantHoldMs).toBe(UP.transplantHoldMs);
  });

  it('makes the pieces those of the profile again', () => {
    expect(marked(UP, 'transplanted').pieces).toBeNaN();
    expect(marked(UP, 'transplanted').sinceEmergedMs).toBe(UP.sinceEmergedMs);
  });
});

describe('emergence', () => {
  it('counts from its first mark, and a second one changes nothing', () => {
    expect(marked(SOWN, 'emerged').sinceEmergedMs).toBe(0);
    expect(marked(UP, 'emerged')).toEqual(UP);
  });

  it('counts from the end of the stage that waits for it where nobody marked it', () => {
    expect(emergedBy(HOLD, 1, Number.NaN)).toBe(0);
    expect(emergedBy(HOLD, 1, DAY_MS)).toBe(DAY_MS);
    expect(emergedBy(WEIGH, 1, Number.NaN)).toBeNaN();
    expect(emergedBy(null, 1, Number.NaN)).toBeNaN();
  });

  it('is not where the tray is sown anew in the middle of that stage', () => {
    expect(emergedBy(HOLD, 0, Number.NaN)).toBeNaN();
  });
});

describe('any stage that gives way', () => {
  it('leaves a crop that is up as old as it is, and brings one up at most that was not, and once', () => {
    const stage = fc.constantFrom(null, HOLD, WEIGH, { ...HOLD, end: { afterS: 60, mark: null } });
    const since = fc.oneof(fc.nat(), fc.constant(Number.NaN));
    holds(
      fc.property(stage, fc.nat(3), since, (left, index, sinceMs) => {
        const now = emergedBy(left, index, sinceMs);
        if (!Number.isNaN(sinceMs)) expect(now).toBe(sinceMs);
        else expect(now === 0 || Number.isNaN(now)).toBe(true);
        if (Number.isNaN(sinceMs) && !Number.isNaN(now)) {
          expect(left?.end.mark).toBe('emerged');
          expect(index).not.toBe(0);
        }
        expect(emergedBy(left, index, now)).toBe(now);
      }),
    );
  });
});

describe('any mark', () => {
  it('but sowing leaves the age of the crop and never shortens its rest; sowing is a crop anew', () => {
    const anyCrop = fc.record({
      sinceEmergedMs: fc.oneof(fc.nat(), fc.constant(Number.NaN)),
      pieces: fc.oneof(fc.nat(98), fc.constant(Number.NaN)),
      transplantHoldMs: fc.nat(WATER_LIMITS.transplantHoldMs),
    });
    const anyChange = fc.constantFrom(null, into(0), into(1));
    holds(
      fc.property(anyCrop, fc.constantFrom(...MARKS), anyChange, (crop, mark, change) => {
        const after = marked(crop, mark, change);
        if (mark === 'sown') {
          expect(after).toEqual(SOWN);
          return;
        }
        expect(after.transplantHoldMs).toBeGreaterThanOrEqual(crop.transplantHoldMs);
        if (!Number.isNaN(crop.sinceEmergedMs) || mark !== 'emerged') {
          expect(after.sinceEmergedMs).toBe(crop.sinceEmergedMs);
        }
        if (mark !== 'transplanted') expect(after.pieces).toBe(crop.pieces);
      }),
    );
  });
});
