/** Heat mat and root zone as two thermal masses. */
import { heatCapacityJPerK } from '../../../shared/physics/thermal';

export interface MatParameters {
  /** Heat of the mat while on, W per square metre of tray. */
  readonly fluxWM2: number;
  readonly areaM2: number;
  /** Heat capacity of the mat itself, J/K per square metre: about 3 kg of silicone and wire. */
  readonly capacityJM2K: number;
  /** Mat to root zone through the tray floor, W/m2K: a flat plastic tray lying on it. */
  readonly contactWM2K: number;
  /** Mat to room through the insulation below it, W/m2K. */
  readonly undersideWM2K: number;
}

/**
 * A 10 x 20 inch flat on a mat with the flux of an electric cable bed, 120 W/m2 (400 W on 36 sq ft);
 * hotbed sizing runs from 108 to 161 W/m2 (USDA Leaflet 445).
 */
export const MAT: MatParameters = {
  fluxWM2: 120,
  areaM2: 0.254 * 0.508,
  capacityJM2K: 4000,
  contactWM2K: 60,
  undersideWM2K: 0.8,
};

/** What the root zone's heat balance depends on; changes slowly. */
export interface RootZoneHeat {
  /** Heat capacity, J/K. */
  capacityJK: number;
  /** Loss through the top, W/K. */
  lossWK: number;
  /** Heat taken by evaporation, W. */
  evaporationW: number;
  /** Whether the tray lies on the mat. */
  onMat: boolean;
}

/** Polystyrene or polypropylene of tray and lid, J/gK. */
const PLASTIC_J_GK = 1.5;

/** Heat capacity of a tray of `plasticG` with water and wool in it, J/K. */
export function trayHeatCapacityJK(waterG: number, woolG: number, plasticG: number): number {
  return heatCapacityJPerK(waterG, woolG) + plasticG * PLASTIC_J_GK;
}

/**
 * Cm dTm/dt = P - Gc (Tm - Tr) - Gu (Tm - Ta)
 * Cr dTr/dt = Gc (Tm - Tr) - UA (Tr - Ta) - lambda E
 * With one mass and all heat going up this is C dT/dt = P - UA (T - Ta): 100 W/m2 at
 * U = 10 W/m2K ends 10 K above the room, a soaked flat with a time constant of 3.7 h.
 */
export class ThermalMasses {
  rootZoneC: number;
  matC: number;
  private readonly matJK: number;
  private readonly contactWK: number;
  private readonly undersideWK: number;

  constructor(mat: MatParameters, startC: number) {
    this.rootZoneC = startC;
    this.matC = startC;
    this.matJK = mat.capacityJM2K * mat.areaM2;
    this.contactWK = mat.contactWM2K * mat.areaM2;
    this.undersideWK = mat.undersideWM2K * mat.areaM2;
  }

  /** Explicit step of at most ten seconds: the shortest time constant (mat) is above a minute. */
  step(dtS: number, matW: number, heat: RootZoneHeat, roomC: number): void {
    const upwardsW = heat.onMat
      ? this.contactWK * (this.matC - this.rootZoneC)
      : heat.lossWK * (this.matC - roomC);
    const fromMatW = heat.onMat ? upwardsW : 0;
    const lostW = heat.lossWK * (this.rootZoneC - roomC) + heat.evaporationW;
    this.matC += ((matW - upwardsW - this.undersideWK * (this.matC - roomC)) * dtS) / this.matJK;
    this.rootZoneC += ((fromMatW - lostW) * dtS) / heat.capacityJK;
  }

  /** Water of `waterC` joins the root zone: mixing of `g` grams into `capacityJK` J/K. */
  mixIn(g: number, waterC: number, capacityJK: number): void {
    const jPerK = heatCapacityJPerK(g, 0);
    this.rootZoneC += ((waterC - this.rootZoneC) * jPerK) / (capacityJK + jPerK);
  }
}
