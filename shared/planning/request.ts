/** What a grower asks of a plan, and what has happened since. Plain data. */
import type { Stock } from '../physics/feed';
import type { PieceSize } from '../physics/soak';
import type { Day } from './calendar-day';
import type { Room } from './pace';

/** The one date that is given; the others are reckoned from it. */
export type Aim =
  | { readonly by: 'ready'; readonly day: Day }
  | { readonly by: 'sow'; readonly day: Day };

export interface PlanRequest {
  /** Name of a crop in the library. */
  readonly crop: string;
  readonly aim: Aim;
  /** Plants that are to stand when the tray is ready. */
  readonly plants: number;
  /** Share of the seed that comes up, 0..1, by its packet; of cuttings, that root. Null: a usual one. */
  readonly germination: number | null;
  /** Plants raised beyond those wanted, as a share of them. */
  readonly spareShare: number;
  /** Chance that so many stand, 0..1. */
  readonly certainty: number;
  /** Null: as the air of the tables. */
  readonly room: Room | null;
  /** What the batch stands on and under, by the grower's own names. Null mat: it has none. */
  readonly mat: string | null;
  readonly light: string;
  readonly cellsPerTray: number;
  /** Of one plug; null: such as fill a tray of so many. */
  readonly plug: PieceSize | null;
  /** Light at the leaves, umol/m2/s. */
  readonly ppfdUmol: number;
  readonly stock: Stock;
}

/** Plants that stood on a day, and of how many sown; null `of`: of as many as the plan has. */
export interface StandCount {
  readonly day: Day;
  readonly plants: number;
  readonly of: number | null;
}

/** What has happened so far; null: not yet. A plan follows it. */
export interface Happened {
  readonly sown: Day | null;
  readonly emerged: Day | null;
  readonly counted: StandCount | null;
  readonly transplanted: Day | null;
}

export const NOTHING_YET: Happened = {
  sown: null,
  emerged: null,
  counted: null,
  transplanted: null,
};
