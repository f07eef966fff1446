/**
 * A mat warmer than the crop bears, under a probe that says the root zone is cool: it rests for a while, and what it is
 * then as warm as is the tray. Why that tells: `DESIGN.md`. Judged once a minute.
 */
import type { Readings } from '../sensing/readings';
import { type Finding, happened, NOTHING } from './finding';
import { GUARD_LIMITS as LIMITS } from './limits';
import type { HeatWish } from './mat-watch';

/** When the mat's rest began, ms of uptime, and how warm it was then, C; the same at the last look at it. */
interface Rest {
  readonly sinceMs: number;
  readonly fromC: number;
  readonly lookedMs: number;
  readonly lookedC: number;
}

/** How warm it is by both probes, and what the crop bears, C. */
interface Warmth {
  readonly rootC: number;
  readonly matC: number;
  readonly maxC: number;
}

/** Has the mat rest, and tells by that a probe that is not in the root zone. */
export class MatRestWatch {
  #rest: Rest | null = null;
  /** Uptime at the end of the last one, ms. */
  #restedMs = Number.NEGATIVE_INFINITY;
  /** By how much its own heat makes the mat warmer than the tray on it, K: what it came down by in a rest; 0 before one. */
  #ownK = 0;

  /** The mat has to stay off: it rests. */
  get rests(): boolean {
    return this.#rest !== null;
  }

  /** Once a minute. `maxC` is the profile's, null without one. */
  minute(
    { rootZone, mat, uptimeMs, away }: Readings,
    { heat, band }: HeatWish,
    maxC: number | null,
  ): readonly Finding[] {
    const rootC = rootZone.celsius;
    const matC = mat.celsius;
    const isUnknown = away || rootZone.doubtful || Number.isNaN(matC);
    if (isUnknown || band === null || maxC === null) {
      this.#rest = null;
      return NOTHING;
    }
    if (this.#rest !== null) return this.#look(this.#rest, { rootC, matC, maxC }, uptimeMs);
    const forMs = heat.on ? uptimeMs - heat.sinceMs : 0;
    // A tray that was put on it otherwise since may take more of it.
    if (forMs >= LIMITS.matOwnMs) this.#ownK = Math.min(this.#ownK, Math.max(0, matC - rootC));
    const isDue = uptimeMs - this.#restedMs >= LIMITS.matRestAgainMs;
    if (forMs >= LIMITS.warmedMs && isDue && this.#isSuspect(matC, band.highC, maxC)) {
      this.#rest = { sinceMs: uptimeMs, fromC: matC, lookedMs: uptimeMs, lookedC: matC };
    }
    return NOTHING;
  }

  /** It may heat a root zone above the maximum; by what is known of it the tray is nearer to that than to its band. */
  #isSuspect(matC: number, highC: number, maxC: number): boolean {
    return matC > maxC && matC - this.#ownK > (highC + maxC) / 2;
  }

  #look(rest: Rest, { rootC, matC, maxC }: Warmth, uptimeMs: number): readonly Finding[] {
    if (uptimeMs - rest.lookedMs < LIMITS.matFallsMs) return NOTHING;
    const falls = rest.lookedC - matC > LIMITS.matFallsK;
    if (falls && uptimeMs - rest.sinceMs < LIMITS.matRestMostMs) {
      this.#rest = { ...rest, lookedMs: uptimeMs, lookedC: matC };
      return NOTHING;
    }
    this.#rest = null;
    this.#restedMs = uptimeMs;
    this.#ownK = Math.max(0, rest.fromC - matC);
    const apartK = Math.max(LIMITS.matApartLeastK, Math.min(LIMITS.matApartK, maxC - rootC));
    return matC - rootC > apartK ? [happened('probe-suspect', rootC, matC)] : NOTHING;
  }
}
