/** What is known and believed of the weight, as it is kept over a start. Owner of the known weights of the run state. */
import { assert } from '../assert';
import { soakedWeights, type Weighed } from '../control/growth';
import { isOnTray } from '../control/handling';
import { foreignG, type Possible } from '../control/ledger';
import { ownWater } from '../control/ledger-away';
import { bitsOf, keepLedger, lastCameBack, lastStep } from '../control/ledger-rows';
import { NO_WEIGHT, type WeightState } from '../control/weight';
import { cutShort, isUnweighed, isWeighed, rescaledWeight, wentMsOf } from '../control/weight-kept';
import type { KnownWeights, View } from '../tray/run-state';
import type { Tray } from '../tray/tray';
import { weightAtStart } from './weight-at-start';

/** Of a tray whose steps are forgotten. */
const NOTHING_KNOWN: Possible = { capacityG: Number.NaN, dryG: Number.NaN, plantsG: 0 };

/** The known weights of one tray, and what is believed of what stands on its scale. */
export class KeptWeights {
  #state: WeightState;
  readonly #known: KnownWeights;

  constructor(
    readonly tray: Tray,
    known: KnownWeights,
  ) {
    this.#known = known;
    this.#state = weightAtStart(tray);
  }

  get known(): View<KnownWeights> {
    return this.#known;
  }

  get state(): WeightState {
    return this.#state;
  }

  /** `dtMs` later. */
  pass(dtMs: number): void {
    this.#known.sinceSoakedMs += dtMs;
  }

  /** This is believed from now on of a tray that holds what is `possible`; what outlives a start is in the run state. */
  keep(state: WeightState, possible: Possible): void {
    if (state === this.#state) return;
    const known = this.#known;
    const { ledger, settledG } = cutShort(state);
    known.settledG = settledG;
    const handled = state.hand !== null && isOnTray(state.hand);
    const wentMs = wentMsOf(state);
    const wentMsBefore = wentMsOf(this.#state);
    const unweighedStarts = this.#unweighedStarts(state);
    const isOther = handled !== known.handled || unweighedStarts !== known.unweighedStarts;
    if (isOther || wentMs !== wentMsBefore) this.tray.touch();
    known.handled = handled;
    known.unweighedStarts = unweighedStarts;
    if (state.ledger !== this.#state.ledger || wentMs !== null || wentMsBefore !== null) {
      known.shiftG = foreignG(ledger);
      keepLedger(ledger, known.stepsG, known.stepKinds);
      known.ownWater = bitsOf(ledger, ownWater(ledger, possible));
      Object.assign(this.#known, lastStep(ledger, this.tray.runAtZeroMs), lastCameBack(ledger));
    }
    if (state.hidden !== this.#state.hidden) {
      known.hidesG = state.hidden?.mostG ?? 0;
      known.hidesAtRunMs = this.tray.runAtZeroMs + (state.hidden?.atMs ?? 0);
      this.tray.touch();
    }
    this.#state = state;
  }

  #unweighedStarts(state: WeightState): number {
    if (isUnweighed(state)) return Number.POSITIVE_INFINITY;
    return isWeighed(state) ? 0 : this.#known.unweighedStarts;
  }

  /** The dry tray weighs `dryG`: what it holds must be weighed anew. */
  dryWeighed(dryG: number): void {
    const known = this.#known;
    known.dryG = dryG;
    known.dryWeighed = true;
    known.capacityG = Number.NaN;
    this.keep(NO_WEIGHT, NOTHING_KNOWN);
    this.tray.touch();
  }

  /** The tray stands soaked and drained: `capacityG`, and the dry weight that goes with it. */
  soaked(capacityG: number, dryG: number): void {
    const known = this.#known;
    this.standsSoaked(soakedWeights(known, known.dryWeighed, capacityG, dryG));
  }

  /** It stands soaked, and weighs so. */
  standsSoaked(weights: Weighed): void {
    assert(weights.dryG > 0 && weights.dryG < weights.capacityG, 'dry-below-soaked');
    Object.assign(this.#known, weights);
    this.keep({ ...NO_WEIGHT, settledG: weights.capacityG }, NOTHING_KNOWN);
    this.tray.touch();
  }

  /** Other pieces stand on the scale now: the old weights say nothing about them. */
  forget(): void {
    const known = this.#known;
    known.capacityG = Number.NaN;
    known.dryG = Number.NaN;
    known.dryWeighed = false;
    known.growthGPerMs = 0;
    known.plantsG = 0;
    this.keep(NO_WEIGHT, NOTHING_KNOWN);
    this.tray.touch();
  }

  /**
   * Another calibration calls a mass `factor` times what it was; what stands on the scale is the same, and was `possible` by
   * the one before.
   */
  rescaled(factor: number, { capacityG, dryG, plantsG }: Possible): void {
    const known = this.#known;
    known.capacityG *= factor;
    known.dryG *= factor;
    this.keep(rescaledWeight(this.#state, factor), {
      capacityG: capacityG * factor,
      dryG: dryG * factor,
      plantsG: plantsG * factor,
    });
    this.tray.touch();
  }
}
