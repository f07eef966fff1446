/** Which stage a batch is in from which day to which: bands, lid and light go by it. Pure. */
import type {
  Crop,
  CropStage,
  CropStageName,
  Published,
  Range,
  SourcedRange,
} from '../crops/library/crop';
import type { Day } from './calendar-day';
import type { BatchDates } from './dates';
import { STEPS } from './limits';
import { firstMiddle, isWarmedIn, laterStages, type Room, type RootZone } from './pace';
import { feedStrength } from './strength';

export interface StageSpan {
  readonly name: CropStageName;
  /** From the morning of `from` to that of `to`. */
  readonly from: Day;
  readonly to: Day;
  /** Of the most trusted source; null where none has any. */
  readonly rootZoneC: Range | null;
  readonly dliMolM2D: Range | null;
  readonly feedEc: SourcedRange | null;
  /** The mat has to warm the root zone above the room. */
  readonly needsMat: boolean;
}

/** A stage whose length nobody published takes as long as the others do on average. */
const weights = (stages: readonly CropStage[]): readonly number[] => {
  const known = stages.map(({ days }) => firstMiddle(days));
  const told = known.filter((days) => days !== null);
  const usual = told.length === 0 ? 1 : told.reduce((sum, days) => sum + days, 0) / told.length;
  return known.map((days) => days ?? usual);
};

const firstRange = ([first]: Published): Range | null =>
  first === undefined ? null : { low: first.low, high: first.high };

/** The stages one after the other, from sowing to the day it is ready. Those after emergence share what is left. */
export function stageSpans(
  crop: Crop,
  { sow, emerged, ready }: BatchDates,
  { nightC }: Room,
  atFirst: RootZone,
): readonly StageSpan[] {
  const later = laterStages(crop);
  const shares = weights(later);
  const whole = shares.reduce((sum, share) => sum + share, 0);
  const days = ready.planned - emerged.planned;
  let passed = 0;
  const dated = later.map((stage, i) => {
    const from = emerged.planned + Math.round((days * passed) / whole);
    passed += shares[i] ?? 0;
    return { stage, from, to: emerged.planned + Math.round((days * passed) / whole) };
  });
  const first = crop.stages.filter((stage) => !later.includes(stage));
  const start = first.map((stage, i) => ({
    stage,
    from: sow.planned + Math.round(((emerged.planned - sow.planned) * i) / first.length),
    to: sow.planned + Math.round(((emerged.planned - sow.planned) * (i + 1)) / first.length),
  }));
  return [...start, ...dated].map(({ stage, from, to }) => {
    const rootZoneC = firstRange(stage.rootZoneC);
    return {
      name: stage.name,
      from,
      to,
      rootZoneC,
      dliMolM2D: firstRange(stage.dliMolM2D),
      feedEc: feedStrength(stage),
      needsMat: later.includes(stage)
        ? rootZoneC !== null && isWarmedIn(rootZoneC, nightC)
        : atFirst.isWarmed,
    };
  });
}

/** The day from which feed is given. */
export const firstFeedDay = ({ emerged }: BatchDates): Day =>
  emerged.planned + STEPS.feedAfterEmergence;
