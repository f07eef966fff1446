/**
 * Wet surfaces and the heat they evaporate with: wool over a root zone, and leaves over nothing.
 * Both obey one balance, which is Penman's for the wool and Penman-Monteith for the leaves:
 * k (Tbelow - Ts) + h (Tair - Ts) + R = lambda g (es(Ts) - e).
 */
import {
  EVAPORATION_J_PER_G,
  PSYCHROMETER_KPA_K,
  saturationKpa,
  slopeAt,
} from '../../../shared/physics/vapour';

/**
 * Vapour from a free water surface into still air, g per square metre, hour and kPa: Penman 1948
 * (Proc. R. Soc. A 193:120), E = 0.26 (1 + 0.54 u) mm a day and hPa, with no wind. As remembered: no print of it
 * was found.
 */
export const STILL_AIR_G = 108;
/** Heat that the same air takes by convection, W/m2K: one psychrometric constant ties the two. */
export const CONVECTION_WM2K = (STILL_AIR_G / 3600) * EVAPORATION_J_PER_G * PSYCHROMETER_KPA_K;
/** Heat by long-wave radiation to a room at 20 C, W/m2K: 4 sigma T3 at an emissivity of 0.95. */
export const RADIATION_WM2K = 5.4;
/**
 * Wet wool between the middle of a plug and its top, W/m2K: 0.45 W/mK (four fifths water;
 * no source found) over 20 mm.
 */
export const WOOL_TOP_WM2K = 22.5;

export interface WetSurface {
  /** Heat from below, W/m2K, and from what temperature, C; 0 for leaves. */
  readonly belowWM2K: number;
  readonly belowC: number;
  /** Heat to and from air and room, W/m2K, and their temperature, C. */
  readonly airWM2K: number;
  readonly airC: number;
  /** Light taken up, W/m2. */
  readonly absorbedWM2: number;
  /** Vapour conductance to the air above, g per square metre, hour and kPa. */
  readonly vapour: number;
}

export interface Evaporating {
  readonly surfaceC: number;
  /** Water given off, g per square metre and hour; below 0 is dew. */
  readonly gM2H: number;
}

/** Turns of the linearised balance: the second already is within 0.01 K. */
const TURNS = 3;

/** Straight line of a surface round some temperature: loss = a - b e, temperature = p + q e. Filled anew each turn. */
interface Line {
  a: number;
  b: number;
  p: number;
  q: number;
}

function fillLine(into: Line, surface: WetSurface, aroundC: number): void {
  const { belowWM2K: k, airWM2K: h, vapour: g } = surface;
  const isThere = k !== 0 || h !== 0 || g !== 0;
  const wPerKpa = (g / 3600) * EVAPORATION_J_PER_G;
  const kpa = isThere ? saturationKpa(aroundC) : 0;
  const slope = isThere ? slopeAt(aroundC, kpa) : 0;
  const offset = kpa - slope * aroundC;
  const perK = k + h + wPerKpa * slope;
  if (perK === 0) {
    into.a = 0;
    into.b = 0;
    into.p = surface.airC;
    into.q = 0;
    return;
  }
  const heatW = k * surface.belowC + h * surface.airC + surface.absorbedWM2;
  const p = (heatW - wPerKpa * offset) / perK;
  const q = wPerKpa / perK;
  into.a = g * (offset + slope * p);
  into.b = g * (1 - slope * q);
  into.p = p;
  into.q = q;
}

const surfaceC = ({ p, q }: Line, vapourKpa: number): number => p + q * vapourKpa;

/**
 * All surfaces under one lid, here the wool and the leaves: the vapour between them and the lid settles where as much
 * leaves by the lid's air as they give. `lid`: conductance of that, g per square metre, hour and kPa; Infinity with the
 * lid off. `roomKpa`: vapour pressure of the room.
 */
export function evaporate(
  wool: WetSurface,
  leaves: WetSurface,
  lid: number,
  roomKpa: number,
): { readonly wool: Evaporating; readonly leaves: Evaporating } {
  const ofWool: Line = { a: 0, b: 0, p: wool.airC, q: 0 };
  const ofLeaves: Line = { a: 0, b: 0, p: leaves.airC, q: 0 };
  const open = !Number.isFinite(lid);
  let vapourKpa = 0;
  for (let turn = 0; turn < TURNS; turn++) {
    fillLine(ofWool, wool, surfaceC(ofWool, vapourKpa));
    fillLine(ofLeaves, leaves, surfaceC(ofLeaves, vapourKpa));
    const gives = ofWool.a + ofLeaves.a;
    const takes = ofWool.b + ofLeaves.b;
    const still = open || lid + takes === 0;
    vapourKpa = still ? roomKpa : (gives + lid * roomKpa) / (takes + lid);
  }
  return { wool: evaporating(ofWool, vapourKpa), leaves: evaporating(ofLeaves, vapourKpa) };
}

function evaporating(line: Line, vapourKpa: number): Evaporating {
  return { surfaceC: surfaceC(line, vapourKpa), gM2H: line.a - line.b * vapourKpa };
}
