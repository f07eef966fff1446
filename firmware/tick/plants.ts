/** What the plants on the scale have gained, by what is known of tray and crop; `control/growth.ts` reckons it. */
import { MINUTE_MS } from '../../shared/units/time';
import { type Grown, type Growth, grown, NOTHING_GROWN, type Stand } from '../control/growth';
import type { Tray } from '../tray/tray';

/** So long what the plants have gained is taken for the same: they do not grow in a minute. */
const GROWN_MS = MINUTE_MS;

/** The plants of one tray. */
export class Plants {
  #grown: Grown = NOTHING_GROWN;
  /** Since they were last looked at, ms. */
  #sinceLookedMs = Number.POSITIVE_INFINITY;

  constructor(readonly tray: Tray) {}

  /** What they have gained since container capacity was taken; a guess until it is taken again. */
  get grown(): Grown {
    return this.#grown;
  }

  /** The known weights are others now, or what stands there is: the next look is at once. */
  knownAnew(): void {
    this.#sinceLookedMs = Number.POSITIVE_INFINITY;
  }

  /** `dtMs` later. They are not looked at while a dose is weighed (`dosing`): what is guessed of them is none of its gain. */
  look(dtMs: number, dosing: boolean): void {
    this.#sinceLookedMs += dtMs;
    const isAnew = this.#sinceLookedMs === Number.POSITIVE_INFINITY;
    if (!isAnew && (this.#sinceLookedMs < GROWN_MS || dosing)) return;
    this.#sinceLookedMs = 0;
    const { capacityG, dryG, sinceSoakedMs } = this.tray.run.weights;
    const waterG = capacityG - dryG;
    this.#grown = Number.isNaN(waterG)
      ? NOTHING_GROWN
      : grown(this.#growth, this.#stand, sinceSoakedMs, waterG);
  }

  get #growth(): Growth {
    const { growthGPerMs, plantsG } = this.tray.run.weights;
    return { gPerMs: growthGPerMs, plantsG };
  }

  get #stand(): Stand {
    const { medium, run, profile, sown } = this.tray;
    const pieces = medium?.pieces ?? 0;
    return {
      crop: profile?.crop ?? '',
      sownPieces: profile?.media[profile.stages[0]?.medium ?? 0]?.pieces ?? pieces,
      pieces: sown ? pieces : 0,
      pieceMl: medium?.pieceMl ?? 0,
      ageMs: run.progress.sinceEmergedMs,
    };
  }
}
