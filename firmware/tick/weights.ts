/**
 * What the weight means, tick by tick: hands on the tray, the water in it, how fast it dries; `control/weight.ts`
 * decides.
 */
import { dryBackShare } from '../../shared/physics/dry-back';
import { fullG } from '../control/drainage';
import { DRYING_UNKNOWN, type Drying, disturbed, nextDrying } from '../control/drying';
import { drainedWeights, type Grown } from '../control/growth';
import { hasBeenPoured, isRebooked } from '../control/hand-watering';
import { foreignG, type Ledger, mayHaveGone, mayStandG, type Possible } from '../control/ledger';
import { withDrainedTo, withNothingMissing } from '../control/ledger-evidence';
import { type AboveCapacity, hasStoodAbove, NOT_ABOVE, nextAbove } from '../control/standing';
import {
  effectiveG,
  isAway,
  isGentle,
  isHandled,
  nextWeight,
  type WeightState,
} from '../control/weight';
import { WATER_LIMITS, WEIGHT_LIMITS } from '../limits';
import type { ScaleSense } from '../sensing/scale';
import type { Tray } from '../tray/tray';
import type { Draining } from './draining';
import { inflowAlarm } from './inflow-alarm';
import type { KeptWeights } from './kept-weights';
import { Lately } from './lately';
import { Plants } from './plants';

/** The weights of one tray. */
export class Weights {
  #drying: Drying = DRYING_UNKNOWN;
  #away = false;
  /** As read at the last tick, g. */
  #lastG = Number.NaN;
  #trayG = Number.NaN;
  readonly #plants: Plants;
  readonly #lately = new Lately();
  /** What is taken for water changed since the last minute. */
  #rebooked = false;
  #above: AboveCapacity = NOT_ABOVE;
  #readDryBackShare = Number.NaN;
  #dryBackShare = Number.NaN;
  readonly #kept: KeptWeights;

  constructor(
    readonly tray: Tray,
    kept: KeptWeights,
    private readonly draining: Draining,
  ) {
    this.#kept = kept;
    this.#plants = new Plants(tray);
  }

  get known(): KeptWeights['known'] {
    return this.#kept.known;
  }

  /** Weight without handling's share, and without what the plants have gained, g; NaN while unknown. */
  get trayG(): number {
    return this.#trayG;
  }

  /** What the plants have gained since container capacity was taken; a guess until it is taken again. */
  get grown(): Grown {
    return this.#plants.grown;
  }

  /** Dry-back as the scale reads it, the plants taken for water; NaN while unknown. */
  get readDryBackShare(): number {
    return this.#readDryBackShare;
  }

  /** 0 at container capacity, 1 when dry; NaN while unknown. */
  get dryBackShare(): number {
    return this.#dryBackShare;
  }

  get drying(): Drying {
    return this.#drying;
  }

  get handled(): boolean {
    return isHandled(this.#kept.state);
  }

  /** A freshly soaked or watered tray has drained since: a fall of its weight says something. */
  get drained(): boolean {
    return this.draining.isOver(this.known.sinceSoakedMs);
  }

  /** What the tray gained in the last ten minutes, whatever moved it; NaN when hands were at it meanwhile. */
  get gainedLatelyG(): number {
    return this.#lately.gainedG;
  }

  /** The same of the last two minutes. */
  get gainedJustNowG(): number {
    return this.#lately.gainedJustNowG;
  }

  /** Most that it lost in any ten minutes of the last twenty, g: it drains, or water was drawn from it. */
  get lostMostLatelyG(): number {
    return this.#lately.lostMostG;
  }

  /** The tray stands somewhere else. */
  get away(): boolean {
    return this.#away;
  }

  /** Weight, as `trayG` has it, from which on the tray may be full and lets water run out, g; NaN while unknown. */
  get fullG(): number {
    const { capacityG, dryG } = this.known;
    return fullG(capacityG, dryG, this.grown.offG);
  }

  /** What is on the scale, or missing from it, that is not the tray and its water, g. */
  get foreignG(): number {
    return foreignG(this.#kept.state.ledger);
  }

  /** Largest thing that stands on the tray, or may, g; 0 when none does. */
  get mayStandG(): number {
    return mayStandG(this.#kept.state.ledger);
  }

  /**
   * One tick. The pump may be causing a rise of `expectedRiseG` right now: that is no hand. The mat is colder than the root
   * zone by `matColderK`.
   */
  take(scale: ScaleSense, expectedRiseG: number, matColderK: number, dtMs: number): void {
    const { tray } = this;
    const { known } = this;
    this.#kept.pass(dtMs);
    this.draining.pass(dtMs);
    const before = this.#kept.state;
    const possible = this.#possible;
    const { capacityG, dryG, plantsG } = possible;
    const next = nextWeight(before, {
      uptimeMs: tray.uptimeMs,
      grams: scale.grams,
      stable: scale.stable,
      noisyG: scale.state === 'noisy' ? scale.noiseG : 0,
      dtMs,
      driesGPerMs: this.#drying.usualGPerMs,
      losesGPerMs: this.#drying.gPerMs,
      expectedRiseG,
      roseG: scale.grams - this.#lastG,
      matColderK,
      capacityG,
      dryG,
      plantsG,
    });
    this.#lastG = scale.grams;
    this.#kept.keep(next, possible);
    if (next.ledger !== before.ledger) this.#noteBooked(before.ledger, next.ledger);
    if (isHandled(next) !== isHandled(before)) this.#noteHand(before, scale.grams);
    this.#away = isAway(next, scale.grams, known.dryG);
    this.#plants.look(dtMs, expectedRiseG > 0);
    this.#judgeDryBack(effectiveG(next, scale.grams));
  }

  #noteHand(before: WeightState, afterG: number): void {
    const over = before.hand !== null;
    const beforeG = before.hand?.beforeG ?? before.settledG;
    this.tray.write({ kind: 'handling', over, beforeG, afterG });
    this.tray.touch();
    if (!over) {
      this.draining.handComes();
      return;
    }
    const hand = { roseG: afterG - beforeG, gentle: isGentle(before) };
    this.draining.handOver(this.known.sinceSoakedMs, hand);
  }

  /** What is taken for water now and was not is no rise; and what only now shows to have been poured drains from now on. */
  #noteBooked(before: Ledger, now: Ledger): void {
    this.draining.stepBooked();
    if (isRebooked(before, now)) this.#rebooked = true;
    if (hasBeenPoured(before, now)) this.draining.poured();
  }

  /** The pump gave water: if enough, it runs out again down to container capacity. */
  watered(): void {
    this.draining.watered();
  }

  /**
   * A minute passed, with nothing but water at work on the weight if `undisturbed`. A tray that has drained down
   * to container capacity tells what the plants have gained, as it does when it is marked soaked, or what is no thing on it;
   * returns whether it has just done so, and known weights are others now, or what is taken for water is.
   */
  minute(grams: number, undisturbed: boolean): boolean {
    this.#lately.minute(grams, this.handled);
    const rebooked = this.#rebooked;
    this.#rebooked = false;
    if (this.#hasThings && this.gainedLatelyG < -WEIGHT_LIMITS.drainedG) this.draining.runsOff();
    const capacityG = this.draining.minute(grams, undisturbed);
    const stoodAbove = this.#judgeStanding(grams, undisturbed);
    if (!undisturbed) return false;
    if (stoodAbove) return true;
    return (capacityG !== null && this.#drainedTo(capacityG)) || rebooked;
  }

  /** One undisturbed minute more: what the tray lost in it, it dried. */
  dried(): void {
    // Wool that holds less than it can lets nothing run out, however lately it was watered.
    const hasDrained = this.drained || this.#trayG < this.fullG;
    this.#drying = nextDrying(this.#drying, this.#trayG, hasDrained);
  }

  /** The weight was disturbed: the minutes before say nothing of drying any more. */
  disturbed(): void {
    this.#drying = disturbed(this.#drying);
  }

  #drainedTo(capacityG: number): boolean {
    // What else is on the scale, or missing from it, would be taken for plants.
    if (this.#hasThings) return this.#drainedWithThings(capacityG);
    const { known } = this;
    const weights = drainedWeights(known, capacityG);
    if (weights === null) return false;
    this.#kept.standsSoaked(weights);
    this.#plants.knownAnew();
    const { dryG, dryWeighed } = known;
    this.tray.write({ kind: 'capacity', capacityG, dryG, dryWeighed });
    return true;
  }

  /** Whether what was taken for a thing shows to be water, as the tray has drained down to `grams` as read. */
  #drainedWithThings(grams: number): boolean {
    const { capacityG, dryG } = this.known;
    const { g, offG } = this.grown;
    const { ledger: before } = this.#kept.state;
    const knownToG = offG + WATER_LIMITS.fullShare * (capacityG - dryG);
    const ledger = withDrainedTo(before, grams, capacityG + g, knownToG);
    this.#kept.keep({ ...this.#kept.state, ledger }, this.#possible);
    return ledger !== before;
  }

  /** Plants are no water, but they stand on the scale: with them the wool can weigh more. */
  get #possible(): Possible {
    const { capacityG, dryG } = this.known;
    const plantsG = this.grown.g + this.grown.offG;
    return { capacityG: capacityG + plantsG, dryG: dryG + plantsG, plantsG };
  }

  /** Something is on the scale, or missing from it, or may be. */
  get #hasThings(): boolean {
    return this.foreignG !== 0 || mayHaveGone(this.#kept.state.ledger).length > 0;
  }

  /** Whether what was taken for missing, or gone, shows to be there, for the tray stands above what it holds. */
  #judgeStanding(grams: number, undisturbed: boolean): boolean {
    const { ledger } = this.#kept.state;
    const possible = this.#possible;
    const aboveG = grams - foreignG(ledger) - possible.capacityG;
    // What runs in as fast as it runs off stands there as well.
    const isJudged = undisturbed && inflowAlarm(this.tray.alarms) === null;
    this.#above = isJudged ? nextAbove(this.#above, aboveG, possible) : NOT_ABOVE;
    if (!hasStoodAbove(this.#above)) return false;
    this.#above = NOT_ABOVE;
    const now = withNothingMissing(ledger, grams, possible);
    this.#kept.keep({ ...this.#kept.state, ledger: now }, possible);
    return now !== ledger;
  }

  #judgeDryBack(readG: number): void {
    const { known } = this;
    this.#trayG = readG - this.grown.g;
    this.#readDryBackShare = dryBackShare(readG, known);
    this.#dryBackShare = dryBackShare(this.#trayG, known);
  }

  /** The grower weighed the dry tray: what it holds must be weighed anew. */
  dryWeighed(dryG: number): void {
    this.#kept.dryWeighed(dryG);
    this.#plants.knownAnew();
  }

  /** The grower says that the tray stands soaked and drained: `capacityG`, and the dry weight that goes with it. */
  soaked(capacityG: number, dryG: number): void {
    this.#kept.soaked(capacityG, dryG);
    this.#plants.knownAnew();
  }

  /** Other pieces stand on the scale now, soaked as a rule: the old weights say nothing about them, and they drain. */
  forget(): void {
    this.draining.replaced();
    this.#kept.forget();
    this.#plants.knownAnew();
  }

  /** Another calibration calls a mass `factor` times what it was; what stands on the scale is the same. */
  rescaled(factor: number): void {
    this.#lastG *= factor;
    this.#kept.rescaled(factor, this.#possible);
    this.#plants.knownAnew();
  }
}
