/** Numbers as the link tells them. */

/** NaN, which JSON has not, as null. */
export function orNull(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

/** Whole seconds, none below zero. */
export const seconds = (ms: number) => Math.max(0, Math.round(ms / 1000));
export const tenths = (value: number) => Math.round(value * 10) / 10;
export const hundredths = (value: number) => Math.round(value * 100) / 100;
export const thousandths = (value: number) => Math.round(value * 1000) / 1000;
