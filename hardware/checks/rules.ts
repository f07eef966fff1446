/** Every rule of the circuit, in the order in which a reader would ask. */
import * as outputs from './outputs';
import * as pins from './pins';
import * as protection from './protection';
import * as ratings from './ratings';
import type { Rule } from './rule';
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
  outputs.pullDown,
  outputs.offByItself,
  outputs.fullyOn,
  outputs.coolEnough,
  outputs.flyback,
  pins.pinCurrents,
  protection.everyLoadFused,
  protection.fuseFits,
  protection.fuseBelowWire,
  protection.matCutOut,
  ratings.polarity,
  ratings.surge,
  ratings.ratings,
  senses.ratiometricDivider,
  senses.adcWindow,
  senses.limiterCodes,
  senses.probeError,
  senses.adcSupply,
  senses.bridgeInput,
  senses.cellCarriesTray,
  senses.supplyEnough,
  wiring.wiresMakeNets,
  wiring.twoGrounds,
  wiring.groundTree,
  wiring.quietGround,
  wiring.keyedPlugs,
  wiring.wireColours,
];
