/** Whether a night was lately too cold for the mat: the next one may be. Pure. */
import { GUARD_LIMITS } from '../../firmware/guard/limits';
import { DAY_MS } from '../../shared/units/time';
import { HEAT_EVIDENCE } from '../explain/limits';
import { beyondK, type Spell, spellsOf } from '../explain/root-zone';
import type { Stand } from '../explain/stand';

/** Nights that tell of the ones to come. */
const LATELY_MS = 3 * DAY_MS;

export interface ColdNight {
  /** The coldest moment. */
  readonly atMs: number;
  readonly celsius: number;
  readonly belowK: number;
  /** As deep and as long as the guard calls too cold; else it was short of the band, and no more. */
  readonly isTooCold: boolean;
}

/** The coldest of the last nights in which the mat was on all the time and the root zone fell below its band all the same. */
export function coldNight(stand: Stand, nowMs: number): ColdNight | null {
  const { record, points, aways } = stand;
  const spells = spellsOf(
    record,
    points,
    'cold',
    aways.filter(({ marked }) => marked),
  )
    .filter(({ toMs }) => toMs > nowMs - LATELY_MS)
    .filter(isForWantOfHeat);
  const worst = spells.reduce<Spell | null>(
    (most, one) => (most === null || depthK(one) > depthK(most) ? one : most),
    null,
  );
  if (worst === null) return null;
  const { atMs, celsius } = worst.worst;
  const belowK = depthK(worst);
  const lastsMs = worst.toMs - worst.fromMs;
  return {
    atMs,
    celsius,
    belowK,
    isTooCold: belowK >= GUARD_LIMITS.bandBeyondK && lastsMs >= GUARD_LIMITS.tooColdMs,
  };
}

const depthK = ({ worst }: Spell): number => beyondK(worst, 'cold');

/** The mat was on all the time; a mat that stood still for another reason is an incident, and no cold night. */
function isForWantOfHeat({ points }: Spell): boolean {
  const duties = points.map(({ reading }) => reading.matDutyShare).filter(Number.isFinite);
  const mean = duties.reduce((sum, duty) => sum + duty, 0) / duties.length;
  return mean >= HEAT_EVIDENCE.allDuty;
}
