/** What the bench knows of a tray's heat and water, and a journal does not say. */
import { MINUTE_MS } from '../../../shared/units/time';
import type { Bench } from '../bench';
import { trayLoss } from '../plant/climate';
import { LID_EFFECTS, lidNow } from '../plant/lid';
import { MAT, trayHeatCapacityJK } from '../plant/thermal';

/** At one time, uptime in ms. */
export interface TrayMoment {
  readonly atMs: number;
  /** What tray and mat lose for each kelvin, evaporation with it, W/K; and at what root zone they would lose nothing, C. */
  readonly lossWK: number;
  readonly aroundC: number;
  /** Heat that tray and mat hold, J/K. */
  readonly capacityJK: number;
  /** Evaporated since the start, and water bound in plants, g. */
  readonly evaporatedG: number;
  readonly grownG: number;
}

const { areaM2, contactWM2K, undersideWM2K } = MAT;
/** Of what leaves the mat, so much goes up. */
const UP_SHARE = contactWM2K / (contactWM2K + undersideWM2K);
/** The loss is nearly a straight line: its slope is taken over so much, K. */
const SLOPE_K = 1;
const LOOK_MS = 10 * MINUTE_MS;

/** What reaches the tray of a mat of `fluxWM2`, W. */
export const matUpW = (fluxWM2: number): number => fluxWM2 * areaM2 * UP_SHARE;

/** Its flux at which so much reaches the tray, W/m2. */
export const fluxFor = (upW: number): number => upW / (areaM2 * UP_SHARE);

/** Runs the bench so long, and looks every ten minutes. */
export function watched(bench: Bench, ms: number): readonly TrayMoment[] {
  const moments: TrayMoment[] = [];
  for (let done = 0; done < ms; done += LOOK_MS) {
    bench.run(LOOK_MS);
    moments.push(momentOf(bench));
  }
  return moments;
}

function momentOf({ nowMs, rig: { plant } }: Bench): TrayMoment {
  const { room, wool, seedlings, thermal, water, lid, grownG } = plant;
  const lostW = (rootZoneC: number): number => {
    const { topWM2K, drawnWM2 } = trayLoss({
      lid: LID_EFFECTS[lidNow(lid, room.lit)],
      ...{ airC: room.airC, roomKpa: room.vapourKpa, ppfd: room.ppfd, lightWM2: room.lightWM2 },
      ...{ rootZoneC, waterShare: wool.share },
      ...{ leafAreaIndex: seedlings.leafAreaIndex, turgor: seedlings.turgor },
    });
    const downWM2K = undersideWM2K * UP_SHARE;
    return ((topWM2K + downWM2K) * (rootZoneC - room.airC) + drawnWM2) * areaM2;
  };
  const { rootZoneC } = thermal;
  const { mat, trayG } = plant.parameters;
  const lossWK = (lostW(rootZoneC + SLOPE_K) - lostW(rootZoneC - SLOPE_K)) / (2 * SLOPE_K);
  return {
    ...{ atMs: nowMs, lossWK, evaporatedG: water.evaporatedG, grownG },
    capacityJK:
      trayHeatCapacityJK(plant.trayWaterG + grownG, wool.dryG, trayG) +
      mat.capacityJM2K * mat.areaM2,
    aroundC: rootZoneC - lostW(rootZoneC) / lossWK,
  };
}
