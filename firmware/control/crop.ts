/** What of a crop outlasts its stages: since when it is up, what stands there, and its rest after a transplant. Pure. */
import type { Mark, Profile, Stage } from '../../shared/profile/profile';
import { WATER_LIMITS } from '../limits';
import { type StageChange, stageOf } from './stages';

export interface Crop {
  /** Run time since emergence, ms; NaN before it. */
  readonly sinceEmergedMs: number;
  /** Pieces that stayed when some were moved on; NaN: as many as the profile has. */
  readonly pieces: number;
  /** What is left of the hold after a transplant that the profile does not follow with one, ms. */
  readonly transplantHoldMs: number;
}

/**
 * Run time since emergence, ms, when the stage `left` gives way to stage `index`: emerged by the mark, or by the
 * longest time the profile gives it. Sowing anew (stage 0) is no emergence.
 */
export function emergedBy(left: Stage | null, index: number, sinceEmergedMs: number): number {
  const emerges = left?.end.mark === 'emerged' && index !== 0;
  return emerges && Number.isNaN(sinceEmergedMs) ? 0 : sinceEmergedMs;
}

/**
 * The crop after a mark, and the change of stage that it brought. A transplant that the profile does not speak
 * of, or does not follow with a hold of its own length, gets the hold all the same.
 */
export function markedCrop(
  crop: Crop,
  mark: Mark,
  change: StageChange | null,
  profile: Profile,
): Crop {
  const { sinceEmergedMs, pieces, transplantHoldMs } = crop;
  switch (mark) {
    case 'sown':
      return { sinceEmergedMs: Number.NaN, pieces: Number.NaN, transplantHoldMs: 0 };
    case 'emerged': {
      const first = Number.isNaN(sinceEmergedMs);
      return { sinceEmergedMs: first ? 0 : sinceEmergedMs, pieces, transplantHoldMs };
    }
    case 'transplanted': {
      const held = change !== null && stageOf(profile, change.state.index)?.kind === 'hold';
      const holdMs = held ? transplantHoldMs : WATER_LIMITS.transplantHoldMs;
      return { sinceEmergedMs, pieces: Number.NaN, transplantHoldMs: holdMs };
    }
    default:
      return { sinceEmergedMs, pieces, transplantHoldMs };
  }
}
