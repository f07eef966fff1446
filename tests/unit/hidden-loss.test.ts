import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hiddenBeside, hiddenG, hiddenSince } from '../../firmware/control/ledger-unseen';
import { WEIGHT_LIMITS } from '../../firmware/limits';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { TRAY } from './tray-on-scale';

const AT_MS = 3 * DAY_MS;
/** Found so at `AT_MS`, after it had lost so much an hour. */
const losing = (gPerH = 0) => ({ ...TRAY, losesGPerMs: gPerH / HOUR_MS, uptimeMs: AT_MS });
const nowG = (hidden: ReturnType<typeof hiddenSince>) => hiddenG(hidden, AT_MS);

describe('what a thing may hide that came as nobody weighed the tray', () => {
  it('is what a cloth draws in so long, where its scale was silent, and what it dries by, where it stood beside it', () => {
    expect(nowG(hiddenSince(null, HOUR_MS, losing()))).toBe(WEIGHT_LIMITS.drawnMostGPerH);
    expect(nowG(hiddenBeside(null, HOUR_MS, losing()))).toBeCloseTo(0.03 * 4_060, 6);
    expect(nowG(hiddenBeside(null, HOUR_MS, losing(540)))).toBeCloseTo(0.03 * 4_060 + 540, 6);
  });

  it('is less than a piece of it weighs that is taken out after an hour beside its scale', () => {
    expect(nowG(hiddenBeside(null, HOUR_MS, losing()))).toBeLessThan(WEIGHT_LIMITS.goesMostG);
  });

  it('is all of its water after a power cut', () => {
    const cut = hiddenSince(null, Number.POSITIVE_INFINITY, losing());
    expect(nowG(cut)).toBe(Number.POSITIVE_INFINITY);
  });

  it('is nothing of a few minutes, and no more than before', () => {
    const shortMs = WEIGHT_LIMITS.lostUnseenMs - 1;
    const before = hiddenSince(null, HOUR_MS, losing());
    for (const hides of [hiddenSince, hiddenBeside]) {
      expect(hides(null, shortMs, losing())).toBe(null);
      expect(hides(before, shortMs, losing())).toBe(before);
    }
  });

  it('is forgotten after a day', () => {
    const hidden = hiddenBeside(null, 20 * HOUR_MS, losing());
    expect(hiddenG(hidden, AT_MS + WEIGHT_LIMITS.hidesMs)).toBeGreaterThan(1_000);
    expect(hiddenG(hidden, AT_MS + WEIGHT_LIMITS.hidesMs + 1)).toBe(0);
  });

  it('is the more, the longer nobody weighed it and the more it lost, and what it hid already besides', () => {
    const ms = fc.integer({ min: 10 * MINUTE_MS, max: 2 * DAY_MS });
    const pace = fc.integer({ min: 0, max: 900 });
    holds(
      fc.property(
        ms,
        ms,
        pace,
        fc.constantFrom(hiddenSince, hiddenBeside),
        (a, b, gPerH, hides) => {
          const [soonMs, lateMs] = a < b ? [a, b] : [b, a];
          const soon = hides(null, soonMs, losing(gPerH));
          expect(nowG(hides(null, lateMs, losing(gPerH)))).toBeGreaterThanOrEqual(nowG(soon));
          expect(nowG(hides(null, soonMs, losing(gPerH + 1)))).toBeGreaterThanOrEqual(nowG(soon));
          const twice = nowG(hides(soon, lateMs, losing(gPerH)));
          expect(twice).toBeCloseTo(nowG(soon) + nowG(hides(null, lateMs, losing(gPerH))), 6);
        },
      ),
    );
  });
});
