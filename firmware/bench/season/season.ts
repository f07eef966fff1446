/** One season of a shipped crop on the bench: a room, a seed, a grower; from a dry tray to blocks. */
import type { JournalEntry } from '../../../shared/journal/kinds';
import type { Profile } from '../../../shared/profile/profile';
import { DAY_MS } from '../../../shared/units/time';
import { Bench } from '../bench';
import { GrowerAt } from '../grower';
import { CALM_SOON_MS, CALM_TICK_MS, CALMEST_TICK_MS } from '../pace';
import type { BenchState } from '../state';
import { trayOf } from '../tray-of';
import { annoyed, annoyingParts } from './annoyances';
import { HABITS, type HabitName } from './habits';
import { firstFeedEc, Visits } from './visits';
import { type Look, Watcher } from './watcher';

/** A season that has not come so far by then is stuck. */
const LONGEST_DAYS = 75;
/** Days in blocks that still belong to it: the hold after the transplant, and the first feed there. */
const IN_BLOCKS_DAYS = 9;

export interface SeasonPlan {
  readonly crop: string;
  readonly profile: Profile;
  /** The room's mean; and half of the difference between its warmest and coldest hour, the usual one if unsaid. */
  readonly roomC: number;
  readonly swingK?: number;
  /** Flux of the mat, W/m2; the bench's own if unsaid. */
  readonly matFluxWM2?: number;
  readonly seed: number;
  readonly habits: HabitName;
  /** Plugs are wetted with feed of this, mS/cm; unsaid, with the one that the seedlings get first. */
  readonly soakEc?: number;
  /** Every tick of the firmware, as on the chip: calm ones are left out unless it is so said. */
  readonly everyTick?: boolean;
  /** Sun, draughts, mists and the like on top of what a grower does. */
  readonly annoyances?: boolean;
  /** Ends so many days after sowing, if the season is not over before. */
  readonly days?: number;
  /** Between two looks, ms; half an hour if unsaid. */
  readonly lookMs?: number;
}

export interface Season {
  readonly plan: SeasonPlan;
  readonly looks: readonly Look[];
  readonly journal: readonly JournalEntry[];
  readonly visits: Pick<Visits, 'emergedSeenMs' | 'emergedMarkedMs' | 'transplantedMs' | 'refills'>;
  readonly sownMs: number;
  /** When half of the seed was up, ms. */
  readonly emergedMs: number;
  readonly endMs: number;
  readonly end: BenchState;
  /** As the board accounts it since emergence, to each plant by the pieces of each stage. */
  readonly given: { readonly eachMl: number; readonly eachSaltsMg: number };
}

/** Runs it. The same plan gives the same season. */
export function runSeason(plan: SeasonPlan): Season {
  const { crop, profile, seed } = plan;
  const isAnnoyed = plan.annoyances === true;
  const annoying = isAnnoyed ? annoyingParts(seed) : {};
  const calm = isAnnoyed
    ? { calmTickMs: CALM_TICK_MS }
    : { calmTickMs: CALMEST_TICK_MS, calmAfterMs: CALM_SOON_MS };
  const swing = plan.swingK === undefined ? {} : { swingK: plan.swingK };
  const bench = new Bench({
    seed,
    crop,
    ...trayOf(profile),
    rethrow: true,
    ...(plan.everyTick === true ? {} : calm),
    ...annoying,
    room: { ...annoying.room, meanC: plan.roomC, ...swing },
    ...(plan.matFluxWM2 === undefined ? {} : { mat: { fluxWM2: plan.matFluxWM2 } }),
    feedMs: plan.soakEc ?? firstFeedEc(profile),
  });
  const grower = new GrowerAt(bench);
  grower.commission(profile);
  const watcher = new Watcher(grower, profile, plan.lookMs);
  const pass = isAnnoyed ? annoyed(bench, seed, watcher.pass) : watcher.pass;
  const visits = new Visits(grower, profile, HABITS[plan.habits], pass);
  const sownMs = bench.nowMs;
  visits.firstFill();
  const longestMs = sownMs + (plan.days ?? LONGEST_DAYS) * DAY_MS;
  const isOver = (): boolean =>
    bench.nowMs >= longestMs || bench.nowMs > visits.transplantedMs + IN_BLOCKS_DAYS * DAY_MS;
  while (!isOver()) {
    pass(HABITS[plan.habits].everyDays * DAY_MS);
    visits.visit();
  }
  const { eachMl, eachSaltsMg } = grower.status().water;
  return {
    plan,
    looks: watcher.looks,
    journal: grower.journal(),
    visits,
    sownMs,
    emergedMs: watcher.looks.find(({ truth }) => truth.plants.progress >= 1)?.atMs ?? Number.NaN,
    endMs: bench.nowMs,
    end: bench.state(),
    given: { eachMl: eachMl ?? Number.NaN, eachSaltsMg: eachSaltsMg ?? Number.NaN },
  };
}
