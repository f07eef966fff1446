/** A thing that went, or did not, while nobody weighed the tray: what stays in the ledger, and what decides. */
import { describe, expect, it } from 'vitest';
import { foreignG, type Ledger } from '../../firmware/control/ledger';
import { book } from '../../firmware/control/ledger-booking';
import { HOUR_MS } from '../../shared/units/time';
import { SEEN_AT_ONCE, TRAY } from './tray-on-scale';

interface Booked {
  readonly ledger: Ledger;
  readonly waterG: number;
}

describe('a thing that may have gone while nobody weighed the tray', () => {
  /** 700 g stood on it; after a power cut it lacks 900 g, 200 g of them dried, or all. */
  const found = (...later: readonly number[]): Booked => {
    const thing: Ledger = [{ kind: 'on', stepG: 700, afterG: Number.NaN, atMs: 0 }];
    let grams = 4_400;
    let ledger = thing;
    [-900, ...later].forEach((stepG, i) => {
      const waterG = grams - foreignG(ledger);
      grams += stepG;
      const unseenMs = i === 0 ? Number.POSITIVE_INFINITY : 0;
      const seen = { ...SEEN_AT_ONCE, uptimeMs: i * HOUR_MS, unseenMs };
      ledger = book(ledger, { stepG, afterG: grams, waterG, ...seen }, TRAY);
    });
    return { ledger, waterG: grams - foreignG(ledger) };
  };

  it('is taken to have gone, and stays in the ledger', () => {
    expect(found().waterG).toBe(3_500);
    expect(found().ledger.map(({ kind }) => kind)).toEqual(['gone']);
  });

  it('had not, where its weight is taken off later: the tray had dried by as much', () => {
    expect(found(-705)).toEqual({ ledger: [], waterG: 2_795 });
  });

  it('comes back, or stood there as water was poured, where more comes than wool may hold', () => {
    const { ledger, waterG } = found(1_500);
    expect(ledger.map(({ kind }) => kind)).toEqual(['on', 'water']);
    expect(waterG).toBe(4_300);
    const wet = book(
      [{ kind: 'gone', stepG: 700, afterG: Number.NaN, atMs: 0 }],
      {
        stepG: 690,
        afterG: 5_200,
        waterG: 4_510,
        uptimeMs: HOUR_MS,
        ...SEEN_AT_ONCE,
      },
      TRAY,
    );
    expect(wet.map(({ kind }) => kind)).toEqual(['on']);
  });
});
