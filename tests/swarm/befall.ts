/** What befalls a tray and its board, on either bench: the grower's words apart, which the link has to carry. */

import type { SimulatedFlash } from '../../firmware/bench/flash';
import { perform } from '../../firmware/bench/hand-actions';
import type { RiggedBench } from '../../firmware/bench/rigged-bench';
import { MINUTE_MS } from '../../shared/units/time';
import type { Pins } from './pins';
import type { Happening } from './plan';

/** What needs nobody at the link. */
const MISHAP_KINDS = [
  'hand',
  'lid',
  'fault',
  'cut-in-write',
  'worn-flash',
] as const satisfies readonly Happening['kind'][];

export type Mishap = Extract<Happening, { readonly kind: (typeof MISHAP_KINDS)[number] }>;

/** Whether it needs nobody at the link. */
export function isMishap<T extends { readonly kind: string }>(
  happening: T,
): happening is Extract<T, Pick<Mishap, 'kind'>> {
  return MISHAP_KINDS.some((kind) => kind === happening.kind);
}

/** What befalls one bench, each until it ends by itself: the mains are back, a sector holds again. */
export class Mishaps {
  /** What ends by itself, soonest first. */
  readonly #ends: { readonly atMs: number; act(): void }[] = [];

  /** `pins` are told that something happens when one ends, as its beginning is for the plan to tell. */
  constructor(
    private readonly bench: RiggedBench & { readonly flash: SimulatedFlash },
    private readonly pins: Pick<Pins, 'happenedMs'>,
  ) {}

  /** When the next of them ends, ms of the bench; infinite where none will. */
  get nextEndMs(): number {
    return this.#ends[0]?.atMs ?? Number.POSITIVE_INFINITY;
  }

  befall(mishap: Mishap): void {
    const { bench } = this;
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
        this.#later(mishap.forMin, () => {});
        return;
      case 'cut-in-write':
        bench.flash.cutPowerAt(mishap.writes);
        this.#later(mishap.forMin, () => {
          // Nothing was written meanwhile: no cut then.
          bench.flash.cutPowerAt(Number.POSITIVE_INFINITY);
          bench.restorePower();
        });
        return;
      case 'worn-flash':
        bench.flash.setWorn(mishap.offset, true);
        this.#later(mishap.forMin, () => bench.flash.setWorn(mishap.offset, false));
        return;
    }
  }

  /** Ends the next one, if it is over by now. */
  endDue(): void {
    if (this.bench.nowMs < this.nextEndMs) return;
    this.pins.happenedMs = this.bench.nowMs;
    this.#ends.shift()?.act();
  }

  /** All is put right now, whenever it would have ended. */
  endAll(): void {
    const { bench } = this;
    this.pins.happenedMs = bench.nowMs;
    for (const { act } of this.#ends.splice(0)) act();
    for (const name of bench.rig.faults.active) bench.fault(name, false);
    bench.flash.cutPowerAt(Number.POSITIVE_INFINITY);
  }

  #later(forMin: number, act: () => void): void {
    this.#ends.push({ atMs: this.bench.nowMs + forMin * MINUTE_MS, act });
    this.#ends.sort((a, b) => a.atMs - b.atMs);
  }
}
