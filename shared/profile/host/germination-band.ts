/**
 * At which root-zone temperatures a crop's seed comes up. A profile's band is held against this
 * before it is loaded. Pure.
 */
import type { CardinalTemperatures, Crop } from '../../crops/library/crop';
import { noGermination } from '../../crops/library/emergence';
import { accept, decline, type Verdict } from '../../physics/verdict';
import { inBothUnits } from '../../units';
import type { Band } from '../profile';

/** A band that is allowed; `advice` says when it is outside the best range, else null. */
export interface BandJudgement {
  readonly advice: string | null;
}

/**
 * Whether seed of `crop` may be germinated in `band`. Refuses a band in which a trial brought nothing up,
 * or that leaves the crop's limits, saying whose; allows what no source speaks of without a word.
 */
export function judgeGerminationBand(crop: Crop, band: Band): Verdict<BandJudgement> {
  const best = bestOf(crop);
  const said = best === null ? '' : ` ${best.text}`;
  const never = noGermination(crop, band.highC) ?? noGermination(crop, band.lowC);
  if (never !== null) return decline(`${never}${said}`);
  const warmest = limitOf(crop, ({ maxC }) => maxC);
  if (warmest !== null && band.highC > warmest.atC) {
    return decline(
      `${inBothUnits(band.highC)} is too warm for ${crop.name} seed: above ${inBothUnits(warmest.atC)} most of it does not come up (${warmest.source}).${said}`,
    );
  }
  const coldest = limitOf(crop, ({ minC }) => minC);
  if (coldest !== null && band.lowC < coldest.atC) {
    return decline(
      `${inBothUnits(band.lowC)} is too cold for ${crop.name} seed: below ${inBothUnits(coldest.atC)} most of it does not come up (${coldest.source}).${said}`,
    );
  }
  if (best === null || (band.lowC >= best.lowC && band.highC <= best.highC)) {
    return accept({ advice: null });
  }
  const side = band.highC > best.highC ? 'warmer' : 'colder';
  return accept({ advice: `The band is ${side} than ${crop.name} seed likes. ${best.text}` });
}

/** The limit of the first source that gives one, to the tenth of a degree that tables in F are good for. */
function limitOf(
  { temperatures }: Crop,
  of: (temperatures: CardinalTemperatures) => number | null,
): { readonly atC: number; readonly source: string } | null {
  for (const one of temperatures) {
    const atC = of(one);
    if (atC !== null) return { atC: tenth(atC), source: one.source };
  }
  return null;
}

/** What all sources together call best. */
function bestOf({ temperatures }: Crop): { lowC: number; highC: number; text: string } | null {
  if (temperatures.length === 0) return null;
  const lowC = tenth(Math.min(...temperatures.map(({ bestLowC }) => bestLowC)));
  const highC = tenth(Math.max(...temperatures.map(({ bestHighC }) => bestHighC)));
  const sources = temperatures.map(({ source }) => source).join('; ');
  return { lowC, highC, text: `Best is ${inBothUnits(lowC, highC)} (${sources}).` };
}

const tenth = (atC: number): number => Math.round(atC * 10) / 10;
