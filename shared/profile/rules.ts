/**
 * What a profile must be beyond the range of each value: how its values fit each other. The same
 * rules serve the host, which explains a breach, and the board, which refuses it again. Pure.
 */
import type { Flag, Problem, ProblemReason } from './breach';
import { isBelow } from './fields';
import { checkOpenings } from './first-feed';
import { PROFILE_LAYOUT } from './layout';
import { PROFILE_LIMITS as LIMITS } from './limits';
import type { Band, Profile, Stage } from './profile';
import { spreadNeedMl } from './spread';

/**
 * Every breach of a range or a rule, ranges first; empty for a profile the board accepts. Stages that
 * must open with water are asked for `withOpenings` only: a profile may be older than they are.
 */
export function checkProfile(profile: Profile, withOpenings = true): readonly Problem[] {
  const problems: Problem[] = [];
  const flag: Flag = (path, reason, found, min, max) => {
    problems.push({ path, reason, found, min, max });
  };
  const { night, quiet, spread, stages, media } = profile;
  PROFILE_LAYOUT.check(profile, '', flag);
  if (night?.startMin === night?.endMin && night) flag('night', 'window-empty');
  if (quiet?.startMin === quiet?.endMin && quiet) flag('quiet', 'window-empty');
  if (spread?.by === 'drilled-manifold' && spread.outlets === 0) {
    flag('spread.outlets', 'outlets-missing');
  }
  stages.forEach((stage, i) => {
    const at = `stages.${i}`;
    checkBand(stage.band, profile, `${at}.band`, flag);
    if (stage.nightBand) {
      checkBand(stage.nightBand, profile, `${at}.nightBand`, flag);
      if (!night) flag(`${at}.nightBand`, 'night-missing');
    }
    checkWater(stage, profile, at, flag);
    if (stage.medium >= media.length) {
      flag(`${at}.medium`, 'medium-unknown', stage.medium, 0, media.length - 1);
    }
    if (stages.findIndex(({ name }) => name === stage.name) < i) flag(`${at}.name`, 'name-twice');
    if (stage.end.mark === 'transplanted') checkTransplant(stages, i, flag);
  });
  if (withOpenings) checkOpenings(stages, flag);
  return problems;
}

function checkBand({ lowC, highC }: Band, { rootZoneMaxC }: Profile, at: string, flag: Flag): void {
  const min = LIMITS.bandWidthMinK;
  const max = LIMITS.bandWidthMaxK;
  const widthK = highC - lowC;
  if (widthK <= 0) flag(at, 'band-upside-down', widthK);
  else if (isBelow(widthK, min)) flag(at, 'band-narrow', widthK, min, max);
  else if (isBelow(max, widthK)) flag(at, 'band-wide', widthK, min, max);
  const highMaxC = rootZoneMaxC - LIMITS.bandToLimitMinK;
  if (isBelow(highMaxC, highC)) {
    flag(`${at}.highC`, 'band-near-limit', highC, LIMITS.bandLowMinC, highMaxC);
  }
}

function checkWater(stage: Stage, profile: Profile, at: string, flag: Flag): void {
  const { kind, watering, opening, rescue } = stage;
  const { reservoirMl } = profile;
  /** Refuses a volume above `max`. */
  const cap = (key: string, ml: number, max: number, reason: ProblemReason): void => {
    if (ml > max) flag(`${at}.${key}`, reason, ml, 0, max);
  };
  const rescueKey = 'rescue.doseMl';
  cap(rescueKey, rescue.doseMl, reservoirMl, 'dose-over-reservoir');
  if (rescue.doseMl > 0 && isBelow(rescue.doseMl, LIMITS.doseMinMl)) {
    flag(`${at}.${rescueKey}`, 'rescue-dose-small', rescue.doseMl, LIMITS.doseMinMl, reservoirMl);
  }
  checkSpread(profile, rescue.doseMl, `${at}.${rescueKey}`, flag);
  if (kind === 'hold') {
    if (watering) flag(`${at}.watering`, 'watering-in-hold');
    if (opening) flag(`${at}.opening`, 'opening-in-hold');
    return;
  }
  cap(rescueKey, rescue.doseMl, 0, 'rescue-dose-in-weigh');
  if (!watering) {
    flag(`${at}.watering`, 'watering-missing');
    return;
  }
  const { startShare, stopShare, doseMl, maxDayMl, maxStageMl } = watering;
  const stopMax = startShare - LIMITS.shareGapMin;
  if (isBelow(stopMax, stopShare)) {
    flag(`${at}.watering.stopShare`, 'stop-not-below-start', stopShare, 0, stopMax);
  }
  if (isBelow(rescue.share, startShare)) {
    flag(
      `${at}.rescue.share`,
      'rescue-below-start',
      rescue.share,
      startShare,
      LIMITS.rescueShareMax,
    );
  }
  cap('watering.doseMl', doseMl, maxDayMl, 'dose-over-day');
  cap('watering.doseMl', doseMl, reservoirMl, 'dose-over-reservoir');
  cap('watering.maxDayMl', maxDayMl, maxStageMl, 'day-over-stage');
  checkSpread(profile, doseMl, `${at}.watering.doseMl`, flag);
  if (opening && isBelow(stopMax, opening.stopShare)) {
    flag(`${at}.opening.stopShare`, 'opening-not-below-start', opening.stopShare, 0, stopMax);
  }
}

/** Refuses a dose that cannot reach every piece by the way that the profile names. 0 is no dose. */
function checkSpread({ spread }: Profile, doseMl: number, at: string, flag: Flag): void {
  const needMl = spread ? spreadNeedMl(spread) : 0;
  if (doseMl > 0 && isBelow(doseMl, needMl)) {
    flag(at, 'dose-not-spread', doseMl, needMl, LIMITS.doseMaxMl);
  }
}

/** Stage `i` ends by the mark `transplanted`: the one after it must leave the roots alone. */
function checkTransplant(stages: readonly Stage[], i: number, flag: Flag): void {
  for (const [index, { feedEc }] of stages.entries()) {
    if ((index === i || index === i + 1) && isBelow(LIMITS.feedEcTransplantMax, feedEc)) {
      flag(
        `stages.${index}.feedEc`,
        'feed-strong-at-transplant',
        feedEc,
        0,
        LIMITS.feedEcTransplantMax,
      );
    }
  }
  const after = stages[i + 1];
  const holdS = after?.end.afterS ?? 0;
  // A mark could end the hold at once, so its time alone must. No time at all: it holds for good.
  if (after?.kind !== 'hold' || after.end.mark) {
    flag(`stages.${after ? i + 1 : i}`, 'transplant-hold-missing');
  } else if (holdS > 0 && holdS < LIMITS.transplantHoldStatedMinS) {
    flag(
      `stages.${i + 1}.end.afterS`,
      'transplant-hold-short',
      holdS,
      LIMITS.transplantHoldStatedMinS,
      LIMITS.stageMaxS,
    );
  }
}
