export { formatPpm, formatQuantity, NO_VALUE, PPM_SCALES, type PpmScale } from './format';
export { QUANTITY_KINDS, type QuantityKind, type UnitSystem } from './kinds';
export { parseQuantity } from './parse';
