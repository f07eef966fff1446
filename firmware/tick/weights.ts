/**
 * What the weight means, tick by tick: hands on the tray, the water in it, how fast it dries. Owner of the
 * known weights of the run state; `control/weight.ts` decides.
 */
import { dryBackShare } from '../../shared/physics/dry-back';
import { assert } from '../assert';
import { Drying } from '../control/drying';
import { effectiveG, isHandled, NO_WEIGHT, nextWeight, type WeightState } from '../control/weight';
import { WEIGHT_LIMITS } from '../limits';
import type { ScaleSense } from '../sensing/scale';
import type { KnownWeights } from '../tray/run-state';
import type { Tray } from '../tray/tray';

/** The weights of one tray. */
export class Weights {
  readonly drying = new Drying();
  #state: WeightState;
  /** Weight without handling's share, g; NaN while unknown. */
  trayG = Number.NaN;
  /** 0 at container capacity, 1 when dry; NaN while unknown. */
  dryBackShare = Number.NaN;

  constructor(
    readonly tray: Tray,
    readonly known: KnownWeights,
  ) {
    this.#state = { ...NO_WEIGHT, shiftG: known.shiftG, settledG: known.settledG };
  }

  get handled(): boolean {
    return isHandled(this.#state);
  }

  /** A freshly soaked tray has drained since: a fall of its weight says something. */
  get drained(): boolean {
    return this.known.sinceSoakedMs >= WEIGHT_LIMITS.drainMs;
  }

  /** One tick. The pump may be causing a rise of `expectedRiseG` right now: that is no hand. */
  take(scale: ScaleSense, expectedRiseG: number, dtMs: number): void {
    const { tray, known } = this;
    known.sinceSoakedMs += dtMs;
    const wasHandled = this.handled;
    const next = nextWeight(this.#state, {
      uptimeMs: tray.uptimeMs,
      grams: scale.grams,
      stable: scale.stable,
      expectedRiseG,
    });
    this.#keep(next);
    if (this.handled !== wasHandled) {
      tray.write({
        kind: 'handling',
        over: wasHandled,
        beforeG: next.beforeG,
        afterG: scale.grams,
      });
      if (wasHandled) tray.touch();
    }
    this.trayG = effectiveG(next, scale.grams);
    const weighed = !Number.isNaN(known.capacityG) && !Number.isNaN(known.dryG);
    this.dryBackShare = weighed ? dryBackShare(this.trayG, known) : Number.NaN;
  }

  /** The grower weighed the dry tray: what it holds must be weighed anew. */
  dryWeighed(dryG: number): void {
    const { known } = this;
    known.dryG = dryG;
    known.dryWeighed = true;
    known.capacityG = Number.NaN;
    this.tray.touch();
  }

  /** The tray stands soaked and drained: `capacityG` is its container capacity, and `dryG` goes with it. */
  soaked(capacityG: number, dryG: number): void {
    const { known } = this;
    assert(dryG > 0 && dryG < capacityG, 'a dry tray weighs less than a soaked one');
    known.dryG = dryG;
    known.capacityG = capacityG;
    known.sinceSoakedMs = 0;
    this.#keep({ ...NO_WEIGHT, settledG: capacityG });
    this.tray.touch();
  }

  /** Other pieces stand on the scale now: the old weights say nothing about them. */
  forget(): void {
    const { known } = this;
    known.capacityG = Number.NaN;
    known.dryG = Number.NaN;
    known.dryWeighed = false;
    this.#keep(NO_WEIGHT);
    this.tray.touch();
  }

  #keep(state: WeightState): void {
    this.#state = state;
    this.known.shiftG = state.shiftG;
    // In the middle of handling the weight from before: a restart must notice the hand again.
    this.known.settledG = isHandled(state) ? state.beforeG : state.settledG;
  }
}
