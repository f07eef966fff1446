/** What stone wool takes up and keeps, against volumes that its sizes have. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { NAMED_PIECES, type PieceName, soakOf } from '../../shared/physics/soak';
import { holds } from '../properties';

const soak = (name: PieceName, pieces = 1) => {
  const verdict = soakOf(NAMED_PIECES[name], pieces);
  if (!verdict.ok) throw new Error(verdict.why);
  return verdict.value;
};

describe('a piece of stone wool', () => {
  // Volume, and water at 80 % of it (volumes of the sizes sold; 80 % solution after drainage: a reseller's sheet).
  test.each<[PieceName, number, number]>([
    ['plug-25', 25, 20],
    ['plug-36', 51.84, 41.5],
    ['block-75', 365.6, 292.5],
    ['block-100', 650, 520],
    ['block-150', 3195, 2556],
    ['slab-900', 10_125, 8100],
    ['slab-1000', 11_250, 9000],
  ])('%s is of %d ml and keeps %d', (name, volumeMl, keepMl) => {
    const { pieceMl, keepMl: kept } = soak(name);
    expect(Math.abs(pieceMl / volumeMl - 1)).toBeLessThan(0.001);
    expect(Math.abs(kept / keepMl - 1)).toBeLessThan(0.002);
  });

  // A block of 10 x 10 x 6.5 cm holds about 480 to 550 g (common stone wool advice).
  test('of 100 mm holds 480 to 550 ml, drained', () => {
    const { keepMl } = soak('block-100');
    expect(keepMl).toBeGreaterThan(480);
    expect(keepMl).toBeLessThan(550);
  });

  // Container capacity of stone wool by its own densities, 0.864 m3/m3, and full 0.954 (Acta Agrophysica 10:113).
  test('takes up no more than wool does when it is full, and keeps no more than it can', () => {
    const { pieceMl, drinkMl, keepMl } = soak('block-150');
    expect(drinkMl / pieceMl).toBeLessThanOrEqual(0.954);
    expect(keepMl / pieceMl).toBeLessThanOrEqual(0.864);
  });

  test('a tray of 98 plugs keeps 4.06 l', () => {
    expect(soak('plug-36', 98).keepMl / 4064.3).toBeCloseTo(1, 3);
  });

  test('larger pieces never soak shorter, and more of them take more', () => {
    const side = fc.integer({ min: 15, max: 160 });
    const count = fc.integer({ min: 1, max: 200 });
    holds(
      fc.property(side, side, count, (one, other, pieces) => {
        const [small, large] = one < other ? [one, other] : [other, one];
        const of = (mm: number, n: number) => {
          const verdict = soakOf({ lengthMm: mm, widthMm: mm, heightMm: mm }, n);
          if (!verdict.ok) throw new Error(verdict.why);
          return verdict.value;
        };
        expect(of(large, pieces).fromS).toBeGreaterThanOrEqual(of(small, pieces).toS * 0.5);
        expect(of(small, pieces + 1).mixMl).toBeGreaterThan(of(small, pieces).mixMl);
        expect(of(small, pieces).mixMl).toBeGreaterThanOrEqual(of(small, pieces).drinkMl);
      }),
    );
  });
});
