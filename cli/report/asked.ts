/** What the first screen is asked, and what its answers share. Pure. */
import type { Stage } from '../../shared/profile/profile';
import type { UnitSystem } from '../../shared/units';
import { firstAt, type Record } from '../explain/record';
import type { Line } from './model';

export interface Asked {
  readonly fromMs: number;
  readonly toMs: number;
  /** Now, on the same line of time. */
  readonly nowMs: number;
  readonly units: UnitSystem;
  /** The journal tells of a time after this one. */
  readonly goesOn: boolean;
}

/** A first screen has room for so many of each. */
export const LINES_MOST = 4;

/** The first of them, and how many more there are below. */
export function firstOf(
  lines: readonly Line[],
  most = LINES_MOST,
  id = 'incidents',
): readonly Line[] {
  const more = lines.length - most;
  return more > 0 ? [...lines.slice(0, most), { says: `And ${more} more, below.`, id }] : lines;
}

export const plain = (says: string): Line => ({ says, id: null });

export const stageAt = (record: Record, atMs: number): Stage | null =>
  record.readings[firstAt(record.readings, atMs + 1) - 1]?.stage ?? null;
