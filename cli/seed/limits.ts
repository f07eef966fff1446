/** What counts of emergence may be. */
import { SEEDS_MAX } from '../../shared/link/params';
import { HOUR_MS } from '../../shared/units/time';

export const SEED_LIMITS = {
  seedsMost: SEEDS_MAX,
  /** The slowest seed in the trials took 172 days; past two years nothing comes up that was not dormant. */
  daysMost: 730,
  /** More than anybody has the patience to count. */
  countsMost: 1_000,
  lotNameMost: 40,
  /** Where seed lives, C; and the quickest anything came up, s. */
  trialLeastC: -5,
  trialMostC: 50,
  trialLeastS: 3_600,
  /** Nobody counts twice within so long, but to count rightly. */
  correctedMs: HOUR_MS,
  /** A table of counts as a file, bytes. */
  csvMostBytes: 100_000,
} as const;

/** Sowings of one tray lie further apart than this: clocks are set right by less. */
export const SAME_SOWING_MS = 12 * HOUR_MS;
