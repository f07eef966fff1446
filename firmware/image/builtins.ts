/** Functions of the language that the firmware uses all over, each looked up once at the start. */
export const {
  abs: Math_abs,
  ceil: Math_ceil,
  floor: Math_floor,
  max: Math_max,
  min: Math_min,
  round: Math_round,
} = Math;
export const {
  isFinite: Number_isFinite,
  isInteger: Number_isInteger,
  isNaN: Number_isNaN,
} = Number;
