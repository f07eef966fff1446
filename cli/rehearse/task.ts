/** One season to rehearse, and what became of it: what goes to a thread, and what comes back. */
import { BoardRefusal } from '../../firmware/bench/grower';
import type { HabitName } from '../../firmware/bench/season/habits';
import { type Rehearsal, rehearsalOf } from '../../firmware/bench/season/rehearsal';
import { runSeason } from '../../firmware/bench/season/season';
import { decodeProfile } from '../../shared/profile/image';
import { HOUR_MS } from '../../shared/units/time';

/** Twice the usual: every look costs the bench a status, and a season of weeks is seen well enough each hour. */
const LOOK_MS = HOUR_MS;

/** Everything in it can be sent to a thread. */
export interface RehearsalTask {
  /** The profile as the board would get it. */
  readonly image: Uint8Array;
  readonly crop: string;
  readonly roomC: number;
  readonly swingK: number;
  /** Flux of the mat, W/m2; unsaid, the bench's own. */
  readonly matFluxWM2?: number;
  readonly habits: HabitName;
  readonly days: number;
  readonly seed: number;
}

/** The board refuses what a grower does at the tray: in its words. */
export interface Impossible {
  readonly boardSays: string;
  /** More than its scale bears. */
  readonly isTooHeavy: boolean;
}

/** Runs the real firmware for so many days with a simulated tray. The same task gives the same rehearsal. */
export function rehearse({ image, ...plan }: RehearsalTask): Rehearsal | Impossible {
  const decoded = decodeProfile(image);
  if (!decoded.ok) throw new Error(`the profile cannot be read: ${decoded.reason}`);
  try {
    return rehearsalOf(runSeason({ ...plan, profile: decoded.profile, lookMs: LOOK_MS }));
  } catch (error) {
    if (error instanceof BoardRefusal) {
      const isTooHeavy = error.reason === 'scale-not-ready' && error.facts[0] === 'saturated';
      return { boardSays: error.message, isTooHeavy };
    }
    throw error;
  }
}
