/** What befalls a tray and its board, on either bench: the grower's words apart, which the link has to carry. */

import type { SimulatedFlash } from '../../firmware/bench/flash';
import { perform } from '../../firmware/bench/hand-actions';
import type { RiggedBench } from '../../firmware/bench/rigged-bench';
import { MINUTE_MS } from '../../shared/units/time';
import type { Happening } from './plan';

/** What needs nobody at the link. */
export const MISHAP_KINDS = [
  'hand',
  'lid',
  'fault',
  'cut-in-write',
  'worn-flash',
] as const satisfies readonly Happening['kind'][];

export type Mishap = Extract<Happening, { readonly kind: (typeof MISHAP_KINDS)[number] }>;

/** Lets it happen; `later` is told what ends by itself, and when, min. */
export function befall(
  bench: RiggedBench & { readonly flash: SimulatedFlash },
  mishap: Mishap,
  later: (forMin: number, act: () => void) => void,
): void {
  switch (mishap.kind) {
    case 'hand':
      perform(bench.hand, mishap.action, mishap.value);
      return;
    case 'lid':
      bench.hand.setLid(mishap.place);
      return;
    case 'fault':
      bench.fault(mishap.fault, true, mishap.forMin * MINUTE_MS);
      // It ends by itself: that is a happening as well.
      later(mishap.forMin, () => {});
      return;
    case 'cut-in-write':
      bench.flash.cutPowerAt(mishap.writes);
      later(mishap.forMin, () => {
        // Nothing was written meanwhile: no cut then.
        bench.flash.cutPowerAt(Number.POSITIVE_INFINITY);
        bench.restorePower();
      });
      return;
    case 'worn-flash':
      bench.flash.setWorn(mishap.offset, true);
      later(mishap.forMin, () => bench.flash.setWorn(mishap.offset, false));
      return;
  }
}
