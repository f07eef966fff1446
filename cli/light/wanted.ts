/** What light a crop's stages want, from the crop library, and how a given day's light stands against it. */
import type { Crop, CropStage } from '../../shared/crops/library/crop';
import { invalid, usage } from '../failure';

/** What one stage wants of a day's light, over all sources. */
export interface LightWanted {
  readonly crop: string;
  readonly stage: string;
  readonly lowMolM2D: number;
  readonly highMolM2D: number;
  readonly sources: readonly string[];
}

function wantedOf(crop: Crop, stage: CropStage): LightWanted {
  return {
    crop: crop.name,
    stage: stage.name,
    lowMolM2D: Math.min(...stage.dliMolM2D.map(({ low }) => low)),
    highMolM2D: Math.max(...stage.dliMolM2D.map(({ high }) => high)),
    sources: [...new Set(stage.dliMolM2D.map(({ source }) => source))],
  };
}

/**
 * What `stageName` of the crop wants, or the first of its stages that somebody has published light for. Throws
 * `CommandError` where nobody has.
 */
export function lightWanted(crop: Crop, stageName: string | null): LightWanted {
  const lit = crop.stages.filter(({ dliMolM2D }) => dliMolM2D.length > 0);
  if (lit.length === 0) {
    throw invalid(
      'no-light-known',
      `Nobody has published what light ${crop.name} wants, as far as the library goes.`,
      'Young plants in general want 10 mol/m2/d or more (Michigan State Univ.): give it with --dli.',
    );
  }
  const stage = stageName === null ? lit[0] : lit.find(({ name }) => name === stageName);
  if (stage !== undefined) return wantedOf(crop, stage);
  throw usage(
    `The library has no light for a stage "${stageName}" of ${crop.name}.`,
    `It has it for: ${lit.map(({ name }) => name).join(', ')}.`,
  );
}

/** Sums within this share of a limit are on it: no grower's meter tells them apart. */
const SAME_SHARE = 0.05;

/** How a day's light stands against what is wanted; unsure where what is known of it leaves that open. */
export type JudgedLight = 'less' | 'enough' | 'more' | 'unsure';

function judgedSum(sumMol: number, wanted: LightWanted): JudgedLight {
  if (sumMol < wanted.lowMolM2D * (1 - SAME_SHARE)) return 'less';
  return sumMol > wanted.highMolM2D * (1 + SAME_SHARE) ? 'more' : 'enough';
}

/** The verdict on a sum of which it is known that it lies between `leastMol` and `mostMol`. */
export function judgedLight(leastMol: number, mostMol: number, wanted: LightWanted): JudgedLight {
  const [least, most] = [judgedSum(leastMol, wanted), judgedSum(mostMol, wanted)];
  return least === most ? least : 'unsure';
}
