/** How a season went for the plants and for the grower: figures, and what was not as it has to be. */
import { ALARMS, type AlarmName } from '../../../shared/alarms/catalogue';
import { firstFeedS } from '../../../shared/profile/first-feed';
import { PROFILE_LIMITS } from '../../../shared/profile/limits';
import { spreadNeedMl } from '../../../shared/profile/spread';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import { isNeed } from '../../control/need';
import { ENOUGH_MG_PER_G } from '../plant/salts';
import { nuisancesInOneSeason, nuisancesOf } from './nuisance';
import type { Season } from './season';
import { beyondBandK, isEmpty, isTooDry, isWrong } from './truth';
import type { Look } from './watcher';

const WEEK_MS = 7 * DAY_MS;

export const SEASON_LIMITS = {
  /** The seed feeds a seedling for about a week: fed by then, marked or not (common practice). */
  fedWithinDays: PROFILE_LIMITS.firstFeedMaxS / 86_400,
  /** The board may take so long for a dose that is due: a hand on the tray, a soak-in. */
  doseSlackMs: 6 * HOUR_MS,
  /**
   * Salts given to a plug in a week, mg, from emergence to the transplant. From 100 mg N/l once a week
   * (Utah State, Univ. of Delaware) to 200 twice (tomato, HortTechnology 22(1):56), at 5 to 10 ml a plug
   * (common practice), is 0.5 to 4 mg of nitrogen, a fifth of a feed.
   */
  saltsMgAWeek: [2.5, 20],
  /**
   * What plants hold in a dry gram, mg: 33 mg of nitrogen at full growth (Becker et al. 2015). The seed
   * feeds them for a week.
   */
  heldMgPerG: ENOUGH_MG_PER_G,
  heldFromMs: 7 * DAY_MS,
  /** Yield falls above so much in the wool, mS/cm (Maas and Hoffman 1977, tomato and cucumber). */
  woolMaxMs: 2.5,
  /** Within so many K of its band, and so long after a change of band or a cold soak. */
  bandK: 2,
  warmUpMs: 8 * HOUR_MS,
  /** The board may be silent so long: what comes and goes with the hour of the day is no excursion. */
  silentMs: 3 * HOUR_MS,
  /** Growth against plants in the same light and warmth that lacked nothing. */
  growthLeastShare: 0.9,
  /** The plants' gain lies within its told uncertainty, but for what capacity cannot be weighed to, g. */
  growthUntoldG: 12,
} as const;

/** An alarm that was raised. */
export interface Raised {
  readonly alarm: AlarmName;
  readonly atDays: number;
  readonly stage: number;
  readonly value: number;
  readonly limit: number;
  /** What it says was so on the bench. */
  readonly right: boolean;
}

export interface SeasonVerdict {
  /** From sowing to its end. */
  readonly weeks: number;
  readonly emergedDays: number;
  /** Days from emergence to the first dose; from its mark, NaN without one; and the latest by the profile. */
  readonly firstFeedDays: number;
  readonly firstFeedAfterMarkDays: number;
  readonly latestDays: number;
  /** Up to the transplant, or the end of a season without: given to one plug since emergence. */
  readonly mlEach: number;
  readonly saltsMgEach: number;
  readonly saltsMgAWeek: number;
  readonly woolMaxMs: number;
  /** From a week after emergence on: least in the plugs' wool, mS/cm, and in a dry gram of plant, mg. */
  readonly woolLeastMs: number;
  readonly heldLeastMgPerG: number;
  readonly wiltedDays: number;
  readonly deadShare: number;
  readonly growthShare: number;
  /** Hours drier than the rescue share, and outside the band, with no alarm standing that says so. */
  readonly silentDryH: number;
  readonly silentBandH: number;
  /** Hours in which an alarm held heat or water off. */
  readonly lockedOutH: number;
  /** Most by which the wool was drier than the board said, share. */
  readonly hiddenDryShare: number;
  /** Smallest dose for the plants, ml; Infinity without one. */
  readonly leastDoseMl: number;
  /** Most by which the plants' gain lay beyond what the board told of it, its uncertainty taken off, g. */
  readonly growthUntoldG: number;
  readonly raised: readonly Raised[];
  /** Sentences; empty when all was well. */
  readonly faults: readonly string[];
}

/** Judges by the plants, the bench's truth and the journal. */
export function judgeSeason(season: Season): SeasonVerdict {
  const { looks, plan, sownMs, visits } = season;
  const plugs = plan.profile.media[0]?.pieces ?? 1;
  const before = looks.filter(({ atMs }) => !(atMs >= visits.transplantedMs));
  const last = before.at(-1);
  const feedWeeks = ((last?.atMs ?? 0) - season.emergedMs) / WEEK_MS;
  const firstMs = firstFeedMs(season);
  const feeding = before.filter(({ atMs }) => atMs >= season.emergedMs + SEASON_LIMITS.heldFromMs);
  const saltsMgEach = (last?.givenMg ?? 0) / plugs;
  const figures = {
    weeks: (season.endMs - sownMs) / WEEK_MS,
    emergedDays: (season.emergedMs - sownMs) / DAY_MS,
    firstFeedDays: (firstMs - season.emergedMs) / DAY_MS,
    firstFeedAfterMarkDays: (firstMs - visits.emergedMarkedMs) / DAY_MS,
    latestDays: (firstFeedS(plan.profile.stages) ?? Number.NaN) / 86_400,
    mlEach: (last?.givenMl ?? 0) / plugs,
    saltsMgEach,
    saltsMgAWeek: saltsMgEach / feedWeeks,
    woolMaxMs: Math.max(...looks.map(({ truth }) => truth.feed.woolMs)),
    woolLeastMs: Math.min(...feeding.map(({ truth }) => truth.feed.woolMs)),
    heldLeastMgPerG: Math.min(...feeding.map(({ truth }) => truth.plants.each.saltsMgPerDryG)),
    wiltedDays: season.end.plants.wiltedDays,
    deadShare: season.end.plants.deadShare,
    growthShare: Math.min(season.end.plants.growthShare, last?.truth.plants.growthShare ?? 1),
    silentDryH: silentH(looks, isTooDry, ['too-dry']),
    silentBandH: silentBandH(looks),
    lockedOutH: hoursOf(looks, isLockedOut),
    hiddenDryShare: Math.max(
      ...looks.map(({ truth, toldDryBack }) => truth.tray.dryBackShare - (toldDryBack ?? Infinity)),
    ),
    leastDoseMl: Math.min(...plantDoses(season).map(({ plannedMl }) => plannedMl)),
    growthUntoldG: growthUntoldG(looks),
    raised: raisedIn(season),
  };
  return { ...figures, faults: faultsOf(figures, season) };
}

function faultsOf(v: Omit<SeasonVerdict, 'faults'>, season: Season): string[] {
  const limits = SEASON_LIMITS;
  const faults: string[] = [];
  const expect = (holds: boolean, sentence: string): void => {
    if (!holds) faults.push(sentence);
  };
  const days = (value: number): string => `${value.toFixed(1)} days`;
  const slackDays = limits.doseSlackMs / DAY_MS;
  expect(
    v.firstFeedDays <= limits.fedWithinDays + slackDays,
    `first feed ${days(v.firstFeedDays)} after emergence`,
  );
  expect(
    Number.isNaN(season.visits.emergedMarkedMs) ||
      v.firstFeedAfterMarkDays <= v.latestDays + slackDays,
    `first feed ${days(v.firstFeedAfterMarkDays)} after the mark`,
  );
  const [least, most] = limits.saltsMgAWeek;
  if (!Number.isNaN(season.visits.transplantedMs)) {
    expect(
      v.saltsMgAWeek >= least && v.saltsMgAWeek <= most,
      `${v.saltsMgAWeek.toFixed(1)} mg of salts a plug and week`,
    );
  }
  expect(
    v.heldLeastMgPerG >= limits.heldMgPerG,
    `short of salts: ${v.heldLeastMgPerG.toFixed(0)} mg in a dry gram of plant`,
  );
  expect(v.woolMaxMs <= limits.woolMaxMs, `${v.woolMaxMs.toFixed(2)} mS/cm in the wool`);
  expect(
    v.wiltedDays === 0 && v.deadShare === 0,
    `wilted ${days(v.wiltedDays)}, ${v.deadShare.toFixed(2)} died`,
  );
  expect(v.growthShare >= limits.growthLeastShare, `growth ${v.growthShare.toFixed(2)}`);
  expect(v.silentDryH === 0, `${v.silentDryH} h too dry in silence`);
  expect(v.silentBandH === 0, `${v.silentBandH} h out of band in silence`);
  expect(
    v.growthUntoldG <= limits.growthUntoldG,
    `plants ${v.growthUntoldG.toFixed(0)} g beyond what was told of them`,
  );
  const { spread } = season.plan.profile;
  // Planned volumes are kept in tenths.
  const needMl = spread === null ? 0 : spreadNeedMl(spread) - 0.1;
  expect(v.leastDoseMl >= needMl, `a dose of ${v.leastDoseMl.toFixed(0)} ml does not reach all`);
  const lockedOutBy = new Set(season.looks.filter(isLockedOut).map((look) => look.lockedOutBy));
  expect(v.lockedOutH === 0, `${v.lockedOutH} h locked out by ${[...lockedOutBy].join(', ')}`);
  for (const { alarm, atDays, right } of v.raised) {
    // The grower clears nothing: what was right and lets go by itself shows in the hours locked out.
    expect(right || !ALARMS[alarm].latched, `${alarm} latched on day ${atDays.toFixed(1)}`);
  }
  const wrong = nuisancesOf(v.raised);
  const told = wrong.map(({ alarm, atDays }) => `${alarm} day ${atDays.toFixed(1)}`).join(', ');
  expect(wrong.length <= nuisancesInOneSeason(v.weeks), `nuisance: ${told}`);
  return faults;
}

/** Held against what the plants weigh more than when this container capacity was taken. */
function growthUntoldG(looks: readonly Look[]): number {
  let base = looks[0];
  let most = 0;
  for (const look of looks) {
    const { grownG, offG, capacityG } = look.told;
    if (capacityG !== base?.told.capacityG) base = look;
    if (capacityG === null || base === undefined) continue;
    const gainG = look.truth.plants.massG - base.truth.plants.massG;
    most = Math.max(most, Math.abs(gainG - grownG) - offG);
  }
  return most;
}

/** When the first dose for the plants was given, ms; NaN without. A season is one boot: uptime is bench time. */
function firstFeedMs(season: Season): number {
  const first = plantDoses(season).find(({ verdict }) => verdict !== 'not-seen');
  return first?.uptimeMs ?? Number.NaN;
}

/** Doses that the board gave for the plants of this season. */
function plantDoses({ journal, sownMs }: Season) {
  return journal.flatMap((entry) =>
    entry.kind === 'dose' && entry.uptimeMs > sownMs && isNeed(entry.reason) ? [entry] : [],
  );
}

/** What the board may have seen: within one step of looking on either side. */
const NEAR_MS = 45 * MINUTE_MS;

function raisedIn({ journal, looks, sownMs }: Season): Raised[] {
  return journal.flatMap((entry) => {
    if (entry.kind !== 'alarm' || entry.change !== 'raised' || entry.uptimeMs < sownMs) return [];
    const { alarm, stage, value, limit, uptimeMs } = entry;
    const near = looks.filter(({ atMs }) => Math.abs(atMs - uptimeMs) <= NEAR_MS);
    const right = near.some((look) => isWrong(alarm, look, limit));
    return [{ alarm, atDays: (uptimeMs - sownMs) / DAY_MS, stage, value, limit, right }];
  });
}

/** An alarm holds heat or water off; an empty reservoir that nobody has come to fill holds it off by itself. */
const isLockedOut = (look: Look): boolean =>
  look.lockedOutBy !== null && !(look.lockedOutBy === 'dose-not-seen' && isEmpty(look));

function hoursOf(looks: readonly Look[], holds: (look: Look) => boolean): number {
  return looks.reduce((sum, look) => (holds(look) ? sum + look.spanMs / HOUR_MS : sum), 0);
}

/** Hours in which it held for longer than the board may be silent, and none of `alarms` stood. */
function silentH(
  looks: readonly Look[],
  holds: (look: Look) => boolean,
  alarms: readonly AlarmName[],
): number {
  let heldMs = 0;
  return hoursOf(looks, (look) => {
    heldMs = holds(look) ? heldMs + look.spanMs : 0;
    return heldMs > SEASON_LIMITS.silentMs && !alarms.some((alarm) => look.standing.has(alarm));
  });
}

/** The same for the band; a changed band and a soak have their warm-up. */
function silentBandH(looks: readonly Look[]): number {
  let changedMs = looks[0]?.atMs ?? 0;
  let before = looks[0];
  const isOut = (look: Look): boolean => {
    const other = look.bandHighC !== before?.bandHighC || !look.truth.tray.onScale;
    if (other) changedMs = look.atMs;
    before = look;
    const warm = look.atMs - changedMs >= SEASON_LIMITS.warmUpMs;
    return warm && beyondBandK(look) > SEASON_LIMITS.bandK + 0.3;
  };
  return silentH(looks, isOut, ['too-warm', 'too-cold', 'band-out-of-reach']);
}
