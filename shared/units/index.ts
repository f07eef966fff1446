export {
  distancesLike,
  formatPpm,
  formatQuantity,
  inBothUnits,
  NO_VALUE,
  PPM_SCALES,
  type PpmScale,
  temperatureIn,
  temperatureUnit,
} from './format';
export {
  MG_CACO3_PER_MEQ,
  ML_PER_FL_OZ,
  ML_PER_GAL,
  QUANTITY_KINDS,
  type QuantityKind,
  type UnitSystem,
} from './kinds';
export { parseQuantity } from './parse';
