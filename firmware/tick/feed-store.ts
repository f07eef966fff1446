/** The feed: what is in the reservoir, as the grower told, and what the plants were given of it. Owner of both. */
import { feedWaitMs, isOtherFeed, saltsMg } from '../control/feed';
import type { Reservoir, View } from '../tray/run-state';
import type { Tray } from '../tray/tray';

/** The feed of one tray. */
export class FeedStore {
  readonly #reservoir: Reservoir;

  constructor(
    readonly tray: Tray,
    reservoir: Reservoir,
  ) {
    this.#reservoir = reservoir;
  }

  get reservoir(): View<Reservoir> {
    return this.#reservoir;
  }

  /** What is left, ml; null until the grower has said what is in it. */
  get leftMl(): number | null {
    const { filledMl } = this.#reservoir;
    if (Number.isNaN(filledMl)) return null;
    return Math.max(0, filledMl - this.tray.run.account.usedMl);
  }

  /** It is of another strength than the stage wants. */
  get isOther(): boolean {
    return isOtherFeed(this.#reservoir.feedEc, this.tray.stage?.feedEc ?? 0);
  }

  /** For how long the stage still waits for its own, ms; null when this is it. */
  get waitMs(): number | null {
    if (!this.isOther) return null;
    const { progress, service } = this.tray.run;
    return feedWaitMs(progress.stageRunMs, service.totalRunMs - this.#reservoir.filledAtRunMs);
  }

  /** Filled to `ml`, of EC `ec` in mS/cm at 25 C; each NaN when nobody said. */
  filled(ml: number, ec: number): void {
    this.#reservoir.filledMl = ml;
    this.#reservoir.feedEc = ec;
    this.#reservoir.filledAtRunMs = this.tray.run.service.totalRunMs;
    this.tray.write({ kind: 'refill', volumeMl: ml, feedEc: ec });
    this.tray.touch();
  }

  /** A new crop: what plants were given counts from their emergence. */
  cropBegins(): void {
    this.#reservoir.plantsMl = 0;
    this.#reservoir.plantsSaltsMg = 0;
    this.#reservoir.eachMl = 0;
    this.#reservoir.eachSaltsMg = 0;
  }

  /** The pump gave `ml` to the tray: counted with its salts, once there are plants. */
  gave(ml: number): void {
    const { tray } = this;
    const reservoir = this.#reservoir;
    if (Number.isNaN(tray.run.progress.sinceEmergedMs)) return;
    const ec = Number.isNaN(reservoir.feedEc) ? (tray.stage?.feedEc ?? 0) : reservoir.feedEc;
    reservoir.plantsMl += ml;
    reservoir.plantsSaltsMg += saltsMg(ml, ec);
    const pieces = tray.medium?.pieces ?? Number.NaN;
    reservoir.eachMl += ml / pieces;
    reservoir.eachSaltsMg += saltsMg(ml / pieces, ec);
  }
}
