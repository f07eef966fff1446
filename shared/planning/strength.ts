/** How strong a crop's feed is, stage by stage, for what a plan takes. Pure. */
import { MS_CM_PER_MG_L_N, mildly } from '../crops/ladder';
import type { CropStage, SourcedRange } from '../crops/library/crop';

/** Who says that a first feed is mild. */
const MILD_SOURCE = 'Common practice';

/**
 * What a stage wants, mS/cm, by its first source, as mild as it has to be while roots are young; where only its nitrogen
 * is told, by that. Null where nobody published any.
 */
export function feedStrength({
  name,
  feedEcMsCm: [ec],
  feedNMgL: [nitrogen],
}: CropStage): SourcedRange | null {
  const told =
    ec ??
    (nitrogen === undefined
      ? null
      : {
          low: nitrogen.low * MS_CM_PER_MG_L_N,
          high: nitrogen.high * MS_CM_PER_MG_L_N,
          source: nitrogen.source,
        });
  if (told === null) return null;
  return {
    low: mildly(name, told.low),
    high: mildly(name, told.high),
    source: mildly(name, told.high) < told.high ? MILD_SOURCE : told.source,
  };
}
