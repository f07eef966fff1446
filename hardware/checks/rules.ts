/** Every rule of the circuit, in the order in which a reader would ask. */
import * as drive from './drive';
import * as inrush from './inrush';
import * as lines from './lines';
import { loadsSense } from './loads-sense';
import * as outputs from './outputs';
import * as pins from './pins';
import * as polarised from './polarised';
import * as protection from './protection';
import * as ratings from './ratings';
import type { Rule } from './rule';
import * as secondSwitch from './second-switch';
import * as senses from './senses';
import * as structure from './structure';
import * as wiring from './wiring';

export const RULES: readonly Rule[] = [
  structure.everyPinOnce,
  structure.uniqueReferences,
  structure.driverAndReturn,
  structure.firmwarePins,
  structure.definedInputs,
  structure.testPoints,
  lines.oneDriver,
  lines.serviceHeader,
  polarised.pulls,
  outputs.pullDown,
  outputs.offByItself,
  outputs.fullyOn,
  outputs.coolEnough,
  outputs.flyback,
  secondSwitch.secondSwitch,
  secondSwitch.chargePump,
  loadsSense,
  drive.baseDrive,
  drive.gateLimits,
  pins.pinCurrents,
  protection.everyLoadFused,
  protection.fuseFits,
  protection.fuseBelowWire,
  inrush.fuseBearsStart,
  inrush.connectorRatings,
  protection.matCutOut,
  ratings.polarity,
  polarised.rightWayRound,
  polarised.feedDiode,
  polarised.stores,
  ratings.surge,
  ratings.fiveVoltClamp,
  ratings.ratings,
  senses.ratiometricDivider,
  lines.probeGuard,
  senses.probeCurve,
  senses.adcWindow,
  senses.limiterCodes,
  senses.probeError,
  senses.adcSupply,
  senses.bridgeInput,
  lines.bridgeWiring,
  senses.cellCarriesTray,
  senses.supplyEnough,
  wiring.wiresMakeNets,
  wiring.twoGrounds,
  wiring.groundTree,
  wiring.quietGround,
  wiring.keyedPlugs,
  wiring.wireColours,
];
