/**
 * What a profile must be beyond the range of each value: how its values fit each other. The same
 * rules serve the host, which explains a breach, and the board, which refuses it again. Pure.
 */
import { type FieldReason, isBelow, type Path } from './fields';
import { PROFILE_LAYOUT } from './layout';
import { PROFILE_LIMITS as LIMITS } from './limits';
import type { Band, DayWindow, Profile, Stage } from './profile';

/** Stable words for programs; the host has a sentence for each. */
export type ProblemReason =
  | FieldReason
  | 'band-upside-down'
  | 'band-narrow'
  | 'band-wide'
  | 'band-near-limit'
  | 'night-missing'
  | 'window-empty'
  | 'watering-missing'
  | 'watering-in-hold'
  | 'stop-not-below-start'
  | 'rescue-below-start'
  | 'rescue-dose-small'
  | 'rescue-dose-in-weigh'
  | 'dose-over-day'
  | 'day-over-stage'
  | 'dose-over-reservoir'
  | 'medium-unknown'
  | 'name-twice'
  | 'transplant-hold-missing'
  | 'transplant-hold-short'
  | 'feed-strong-at-transplant';

/** One breach. `found` and the range are in the unit that the last key of `path` names. */
export interface Problem {
  readonly path: Path;
  readonly reason: ProblemReason;
  readonly found: number | null;
  readonly min: number | null;
  readonly max: number | null;
}

type Flag = (
  path: Path,
  reason: ProblemReason,
  found?: number,
  range?: { readonly min?: number; readonly max?: number },
) => void;

/** Every breach of a range or a rule, in the profile's order; empty for a profile the board accepts. */
export function checkProfile(profile: Profile): readonly Problem[] {
  const problems: Problem[] = [];
  const flag: Flag = (path, reason, found, range) => {
    problems.push({
      path,
      reason,
      found: found ?? null,
      min: range?.min ?? null,
      max: range?.max ?? null,
    });
  };
  PROFILE_LAYOUT.check(profile, [], flag);
  checkWindow(profile.night, ['night'], flag);
  checkWindow(profile.quiet, ['quiet'], flag);
  profile.stages.forEach((stage, i) => {
    const at: Path = ['stages', i];
    checkHeat(stage, profile, at, flag);
    checkWater(stage, profile, at, flag);
    if (stage.medium >= profile.media.length) {
      flag([...at, 'medium'], 'medium-unknown', stage.medium, { max: profile.media.length - 1 });
    }
    if (profile.stages.findIndex(({ name }) => name === stage.name) < i) {
      flag([...at, 'name'], 'name-twice');
    }
    if (stage.end.mark === 'transplanted') {
      checkTransplant(stage, profile.stages[i + 1], i, flag);
    }
  });
  return problems;
}

function checkWindow(window: DayWindow | null, at: Path, flag: Flag): void {
  if (window !== null && window.startMin === window.endMin) flag(at, 'window-empty');
}

function checkHeat(stage: Stage, profile: Profile, at: Path, flag: Flag): void {
  checkBand(stage.band, profile, [...at, 'band'], flag);
  if (stage.nightBand === null) return;
  checkBand(stage.nightBand, profile, [...at, 'nightBand'], flag);
  if (profile.night === null) flag([...at, 'nightBand'], 'night-missing');
}

function checkBand({ lowC, highC }: Band, { rootZoneMaxC }: Profile, at: Path, flag: Flag): void {
  const widthK = highC - lowC;
  if (widthK <= 0) flag(at, 'band-upside-down', widthK);
  else if (isBelow(widthK, LIMITS.bandWidthMinK)) {
    flag(at, 'band-narrow', widthK, { min: LIMITS.bandWidthMinK });
  } else if (isBelow(LIMITS.bandWidthMaxK, widthK)) {
    flag(at, 'band-wide', widthK, { max: LIMITS.bandWidthMaxK });
  }
  const max = rootZoneMaxC - LIMITS.bandToLimitMinK;
  if (isBelow(max, highC)) flag([...at, 'highC'], 'band-near-limit', highC, { max });
}

function checkWater(stage: Stage, profile: Profile, at: Path, flag: Flag): void {
  const { kind, watering, rescue } = stage;
  const rescueDose: Path = [...at, 'rescue', 'doseMl'];
  if (rescue.doseMl > 0 && rescue.doseMl < LIMITS.doseMinMl) {
    flag(rescueDose, 'rescue-dose-small', rescue.doseMl, { min: LIMITS.doseMinMl });
  }
  if (kind === 'hold') {
    if (watering !== null) flag([...at, 'watering'], 'watering-in-hold');
    if (rescue.doseMl > profile.reservoirMl) {
      flag(rescueDose, 'dose-over-reservoir', rescue.doseMl, { max: profile.reservoirMl });
    }
    return;
  }
  if (rescue.doseMl > 0) flag(rescueDose, 'rescue-dose-in-weigh', rescue.doseMl, { max: 0 });
  if (watering === null) {
    flag([...at, 'watering'], 'watering-missing');
    return;
  }
  const { startShare, stopShare, doseMl, maxDayMl, maxStageMl } = watering;
  const inWatering = (key: keyof typeof watering): Path => [...at, 'watering', key];
  const stopMax = startShare - LIMITS.shareGapMin;
  if (isBelow(stopMax, stopShare)) {
    flag(inWatering('stopShare'), 'stop-not-below-start', stopShare, { max: stopMax });
  }
  if (isBelow(rescue.share, startShare)) {
    flag([...at, 'rescue', 'share'], 'rescue-below-start', rescue.share, { min: startShare });
  }
  if (doseMl > maxDayMl) flag(inWatering('doseMl'), 'dose-over-day', doseMl, { max: maxDayMl });
  if (doseMl > profile.reservoirMl) {
    flag(inWatering('doseMl'), 'dose-over-reservoir', doseMl, { max: profile.reservoirMl });
  }
  if (maxDayMl > maxStageMl) {
    flag(inWatering('maxDayMl'), 'day-over-stage', maxDayMl, { max: maxStageMl });
  }
}

/** `before` ends by the mark `transplanted`; the stage after it must leave the roots alone. */
function checkTransplant(before: Stage, after: Stage | undefined, i: number, flag: Flag): void {
  const max = LIMITS.feedEcTransplantMax;
  const checkFeed = ({ feedEc }: Stage, index: number): void => {
    if (isBelow(max, feedEc)) {
      flag(['stages', index, 'feedEc'], 'feed-strong-at-transplant', feedEc, { max });
    }
  };
  checkFeed(before, i);
  // A mark that ends the hold could end it at once: its time alone must do that.
  if (after === undefined || after.kind !== 'hold' || after.end.mark !== null) {
    flag(['stages', after === undefined ? i : i + 1], 'transplant-hold-missing');
    if (after === undefined) return;
  } else if (after.end.afterS > 0 && after.end.afterS < LIMITS.transplantHoldStatedMinS) {
    flag(['stages', i + 1, 'end', 'afterS'], 'transplant-hold-short', after.end.afterS, {
      min: LIMITS.transplantHoldStatedMinS,
    });
  }
  checkFeed(after, i + 1);
}
