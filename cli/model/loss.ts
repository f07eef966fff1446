/** What a tray on its mat loses for each kelvin, and what the mat can do against it. Pure. */
import { accept, decline, type Verdict } from '../../shared/physics/verdict';
import type { LidPlace } from '../../shared/profile/profile';
import { type Figure, figureOf, figureOfLn } from './figure';
import { MODEL_LIMITS as LIMITS } from './limits';
import type { MatHealth } from './mat';
import type { FittedStretch } from './stretches';

export interface HeatLoss {
  readonly lid: LidPlace;
  /** What tray and mat lose for each kelvin above what surrounds them, evaporation with it, W/K. */
  readonly lossWK: Figure;
  /** What a mat that is always on lifts the root zone above that, K. */
  readonly reachK: Figure;
  /** So much colder the coldest hours could have been, K. */
  readonly spareK: Figure;
  /** What surrounds the tray, as it feels it on average in the newest stretch, C: the room, a lamp, evaporation. */
  readonly aroundC: Figure;
}

/** By the newest stretches under the lid that is on now. Declines, with why, what they cannot carry. */
export function heatLossOf(
  stretches: readonly FittedStretch[],
  { mostDutyShare }: Pick<MatHealth, 'mostDutyShare'>,
): Verdict<HeatLoss> {
  const last = stretches.at(-1);
  if (last === undefined || last.lid === null)
    return decline('Nobody knows where the lid was all the time, and the loss goes by it.');
  if (last.lid === 'off-by-day')
    return decline('The lid goes off by day: the loss is another one day and night.');
  const { lid } = last;
  const same = alikeStretches(stretches);
  const { lossWK, sdLn } = together(same);
  const told = figureOfLn(lossWK, sdLn);
  if (told.high / told.low > LIMITS.uselessTimes)
    return decline(
      `Its readings leave the loss between ${told.low.toFixed(1)} and ${told.high.toFixed(1)} W for each kelvin: too wide to help. More days tell more, and so does a wider band.`,
    );
  const { riseKPerH } = last.fit;
  const aroundC = last.fit.aroundC();
  const reach = figureOfLn(
    (riseKPerH.value * last.capacityJK) / 3600 / lossWK,
    Math.hypot(sdLn, riseKPerH.sd / riseKPerH.value),
  );
  const spare = 1 - mostDutyShare;
  return accept({
    lid,
    lossWK: told,
    reachK: reach,
    spareK: { value: spare * reach.value, low: spare * reach.low, high: spare * reach.high },
    aroundC: figureOf(aroundC.value, Math.hypot(aroundC.sd, LIMITS.probeK)),
  });
}

/** The newest stretches under the lid that is on now. */
export function alikeStretches(stretches: readonly FittedStretch[]): readonly FittedStretch[] {
  const lid = stretches.at(-1)?.lid;
  return stretches.filter((one) => one.lid === lid).slice(-LIMITS.lossStretches);
}

/** The loss of several stretches, each by how sure it is. */
function together(stretches: readonly FittedStretch[]): { lossWK: number; sdLn: number } {
  let [weights, sum] = [0, 0];
  for (const { fit, capacityJK } of stretches) {
    const { value, sd } = fit.lossPerH;
    const weight = (value / sd) ** 2;
    weights += weight;
    sum += weight * Math.log((value * capacityJK) / 3600);
  }
  return {
    lossWK: Math.exp(sum / weights),
    sdLn: Math.hypot(1 / Math.sqrt(weights), LIMITS.capacityShare),
  };
}
