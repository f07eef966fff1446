/** Shares in whole per cent, wherever people read them. */
import { NO_VALUE } from '../../shared/units';

/**
 * `42 %` of 41 in 98: rounded, but never to all or none of what is not: 399 of 400 are 99 %. A dash for what is not known.
 */
export function percent(share: number): string {
  if (!Number.isFinite(share)) return NO_VALUE;
  const rounded = Math.round(share * 100);
  if (rounded === 100 && share < 1) return '99 %';
  return rounded === 0 && share > 0 ? '1 %' : `${rounded} %`;
}
