import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Ledger, sumG } from '../../firmware/control/ledger';
import { withRoom } from '../../firmware/control/ledger-room';
import { holds } from '../properties';
import { anyLedger, MOST_G, step } from './any-ledger';

/** A thing of 500 g passed for water on a tray of 4.2 kg; what came on it then was more than the wool may hold. */
const PASSED = step('water', 500, { afterG: 4_700 });
const CAME = step('on', 400, { afterG: 5_100 });

describe('what came after a thing that had passed for water', () => {
  it('was water, where the wool had room for it without the thing', () => {
    expect(withRoom([PASSED, CAME], [PASSED], MOST_G)).toEqual([
      PASSED,
      { ...CAME, kind: 'water' },
    ]);
    const more = step('on', 600, { afterG: 5_300 });
    expect(withRoom([PASSED, more], [PASSED], MOST_G)).toEqual([PASSED, more]);
  });

  it('had the less room for each thing that stood there besides', () => {
    const clamp = step('on', 300, { afterG: 4_500 });
    const passed = { ...PASSED, afterG: 5_000 };
    const came = { ...CAME, afterG: 5_400 };
    // 4.2 kg, and 400 g more, beside 800 g of things.
    expect(withRoom([clamp, passed, came], [passed], MOST_G)[2]?.kind).toBe('water');
    const wetter = { ...came, afterG: 5_400 + 200 };
    expect(withRoom([clamp, passed, wetter], [passed], MOST_G)[2]?.kind).toBe('on');
  });

  it('is as it was where it came before that, where nobody knows the weight, and where it is one of the things', () => {
    for (const [ledger, things, mostG] of [
      [[{ ...CAME, afterG: 4_600 }, PASSED], [PASSED], MOST_G],
      [[PASSED, CAME], [step('water', 90)], MOST_G],
      [[PASSED, { ...CAME, afterG: Number.NaN }], [PASSED], MOST_G],
      [[PASSED, CAME], [PASSED], Number.NaN],
      [[PASSED, CAME], [PASSED, CAME], MOST_G],
    ] as const)
      expect(withRoom(ledger, things, mostG)).toEqual(ledger);
  });

  it('is the very same where nothing had passed for water', () => {
    const clamp = step('on', 300);
    const ledger = [clamp, CAME];
    expect(withRoom(ledger, [clamp], MOST_G)).toBe(ledger);
  });

  const shown = anyLedger.chain((ledger) =>
    fc.record({ ledger: fc.constant(ledger), things: fc.subarray([...ledger]) }),
  );
  const isWater = (ledger: Ledger) => ledger.map(({ kind }) => kind === 'water');

  it('is water or a thing, and weighs the same; what was water, off, or gone is that still', () => {
    holds(
      fc.property(shown, fc.nat(7_000), ({ ledger, things }, mostG) => {
        const now = withRoom(ledger, things, mostG);
        expect(sumG(now)).toBe(sumG(ledger));
        now.forEach((one, i) => {
          const was = ledger[i] ?? one;
          expect(one).toEqual(one.kind === was.kind ? was : { ...was, kind: 'water' });
          if (one.kind !== was.kind) expect(was.kind).toBe('on');
        });
      }),
      { numRuns: 300 },
    );
  });

  it('is water all the more where the wool holds more, and it stays so', () => {
    holds(
      fc.property(shown, fc.nat(7_000), fc.nat(2_000), ({ ledger, things }, mostG, moreG) => {
        const now = isWater(withRoom(ledger, things, mostG));
        const roomier = isWater(withRoom(ledger, things, mostG + moreG));
        expect(now.every((water, i) => !water || roomier[i])).toBe(true);
      }),
      { numRuns: 300 },
    );
  });
});
