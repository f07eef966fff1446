/** The ladder of feed: how strong a crop is fed in each stage, and which way a grower's own light leans it. */
import type { Crop, CropStage, CropStageName, Published, SourcedRange } from './library/crop';

/**
 * In strong light plants drink more water than salts, so they are fed weaker; in dim light the other way
 * round (Greenhouse Canada, January 2016). No source says by how much: it goes to that end of the range.
 */
export type Lean = 'weaker' | 'as-told' | 'stronger';

export interface Rung {
  readonly stage: CropStageName;
  readonly feedEcMsCm: Published;
  readonly feedNMgL: Published;
  readonly dliMolM2D: Published;
  /** Null where no light was told, or none is published for the stage. */
  readonly lean: Lean | null;
  /** To begin with, of feed in pure water; null where nothing is published. */
  readonly start: Start | null;
}

export interface Start {
  readonly ecMsCm: number;
  readonly by: 'ec' | 'nitrogen';
  /** Published feed is stronger, and held to what young roots and moved ones bear. */
  readonly mild: boolean;
}

/** A first feed, and feed around transplanting, is never stronger, mS/cm (common practice). */
export const MILD_MOST_MS_CM = 1.0;
const MILD_STAGES: readonly CropStageName[] = ['seedling', 'harden'];

/** Held to what is mild, where the stage has to be. */
export function mildly(stage: CropStageName, ecMsCm: number): number {
  return MILD_STAGES.includes(stage) ? Math.min(ecMsCm, MILD_MOST_MS_CM) : ecMsCm;
}

/** 15-5-15, by its bag: Univ. of Massachusetts. Feeds differ by a tenth either way. */
export const MS_CM_PER_MG_L_N = 0.0074;
/** Light this far from what is published is no other light (common practice): days differ as much. */
const LIGHT_SLACK = 0.25;

function leanOf(wanted: Published, dli: number | null): Lean | null {
  if (dli === null || wanted.length === 0) return null;
  const low = Math.min(...wanted.map((range) => range.low));
  const high = Math.max(...wanted.map((range) => range.high));
  if (dli > high * (1 + LIGHT_SLACK)) return 'weaker';
  return dli < low * (1 - LIGHT_SLACK) ? 'stronger' : 'as-told';
}

/** Where in a range to begin: its middle, or the end that the light leans to. */
function within({ low, high }: SourcedRange, lean: Lean | null): number {
  if (lean === 'weaker') return low;
  return lean === 'stronger' ? high : (low + high) / 2;
}

function rungOf(stage: CropStage, dli: number | null): Rung {
  const { name, feedEcMsCm, feedNMgL, dliMolM2D } = stage;
  const lean = leanOf(dliMolM2D, dli);
  const [ec] = feedEcMsCm;
  const [nitrogen] = feedNMgL;
  const begin = (toldMsCm: number, by: Start['by']): Start => {
    const ecMsCm = mildly(name, toldMsCm);
    return { ecMsCm, by, mild: ecMsCm < toldMsCm };
  };
  const start = (): Start | null => {
    if (ec !== undefined) return begin(within(ec, lean), 'ec');
    return nitrogen === undefined
      ? null
      : begin(within(nitrogen, lean) * MS_CM_PER_MG_L_N, 'nitrogen');
  };
  return { stage: name, feedEcMsCm, feedNMgL, dliMolM2D, lean, start: start() };
}

/** The rungs of a crop, in the order of its stages. `dli`: the light there is, mol/m2 a day; null: not told. */
export const ladderOf = (crop: Crop, dli: number | null): readonly Rung[] =>
  crop.stages.map((stage) => rungOf(stage, dli));
