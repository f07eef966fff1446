/** Limits set outside the netlist that the rules compare with. */
import { LIMITER } from '../../shared/board/map';
import { temperatureFromCode } from '../../shared/physics/ntc';
import { CUT_OUT } from '../circuit/outputs';

export const LIMITS_OUTSIDE = {
  /** The runtime's own limit of the mat probe, from the one map, °C. */
  matLimiterC: Math.round(temperatureFromCode(LIMITER.matHotCode)),
  rootZoneLimiterC: Math.round(temperatureFromCode(LIMITER.rootZoneHotCode)),
  /** The mat's cut-out may open from here on, °C. */
  cutOutLowestC: CUT_OUT.opensC - CUT_OUT.toleranceK,
  /** Polystyrene trays soften from about 75 °C (handbooks; from memory). */
  propagatorMaxC: 75,
  /** Surge rating of the 5 V converter module's input, V. */
  buckInputMaxV: 40,
  /** Steady rating of its output, and what it lets out into a short, A. */
  buckRatedA: 1,
  buckLimitA: 3,
  /** RP2040 boards' own 3.3 V regulator: what may be drawn from its pin, A (board data sheets). */
  logicSupplyA: 0.3,
} as const;
