/** How far a share that was counted may be from the true one. */
import { normalQuantile } from './normal';

/** A range of shares, 0..1. */
export interface ShareInterval {
  readonly low: number;
  readonly high: number;
}

/**
 * Interval for the true share when `found` of `of` were counted, by the score method of Wilson 1927 (Journal of
 * the American Statistical Association 22:209), without correction for continuity. It stays within 0..1 and tells
 * something when none or all came up; Newcombe 1998 (Statistics in Medicine 17:857) recommends it. `confidence` between
 * 0 and 1. With nothing counted it is 0..1.
 */
export function wilsonInterval(found: number, of: number, confidence = 0.95): ShareInterval {
  if (of <= 0) return { low: 0, high: 1 };
  const z2 = normalQuantile((1 + confidence) / 2) ** 2;
  const share = found / of;
  const middle = (share + z2 / (2 * of)) / (1 + z2 / of);
  const half =
    Math.sqrt((share * (1 - share)) / of + z2 / (4 * of * of)) * (Math.sqrt(z2) / (1 + z2 / of));
  return {
    low: found === 0 ? 0 : Math.max(0, middle - half),
    high: found === of ? 1 : Math.min(1, middle + half),
  };
}
