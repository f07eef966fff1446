/**
 * Seasons of a grower who leaves the tray alone for days on end, again and again: what a forecast of the time a tray
 * can be left is held against.
 */
import { encodeUtf8, toBase64 } from '../../../shared/bytes';
import type { JournalEntry } from '../../../shared/journal/kinds';
import { CROP_FILE_NAMES, type CropFileName } from '../../../shared/profile/host/crops';
import type { LidPlace, Profile } from '../../../shared/profile/profile';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../../shared/units/time';
import { Bench } from '../bench';
import { GrowerAt } from '../grower';
import { CALM_TICK_MS } from '../pace';
import { Random } from '../random';
import { trayOf } from '../tray-of';
import { HABITS } from './habits';
import { planFor } from './matrix';
import { firstFeedEc, Visits } from './visits';

/** Enough for the longest absence in the hottest room: what was in it at a cut is asked of the journal afterwards. */
const RESERVOIR_ML = 12_000;
/** The grower is away for so long, and then comes daily for so many days. */
const AWAY_DAYS = { least: 6, most: 12 } as const;
const CARE_DAYS = { least: 2, most: 5 } as const;
const LONGEST_DAYS = 45;
/** Days in blocks that still belong to a season. */
const IN_BLOCKS_DAYS = 14;
const LOOK_MS = 30 * MINUTE_MS;

/** Pumped so far, by the reservoir itself: what a bench knows and no journal. */
export interface Drawn {
  /** Uptime, ms. */
  readonly atMs: number;
  readonly ml: number;
}

/** A time without anybody, uptime in ms. */
export interface Absence {
  readonly fromMs: number;
  readonly toMs: number;
}

export interface AwaySeason {
  readonly seed: number;
  readonly profile: Profile;
  readonly profileId: number;
  readonly journal: readonly JournalEntry[];
  readonly absences: readonly Absence[];
  readonly drawn: readonly Drawn[];
}

export interface AwayHabits {
  readonly longestDays?: number;
  /** What stands in the journal where the lid is marked; without it, nobody marks it. */
  readonly lidNote?: (place: LidPlace) => string;
}

/** Crop, room and how long the grower is away by the seed; the same seed gives the same season. */
export function runAwaySeason(
  seed: number,
  { longestDays = LONGEST_DAYS, lidNote }: AwayHabits = {},
): AwaySeason {
  const draw = new Random(seed ^ 0xa3a7);
  const crop = CROP_FILE_NAMES[seed % CROP_FILE_NAMES.length] ?? 'pepper';
  const profile = { ...planFor(crop, 0, seed, 'daily').profile, reservoirMl: RESERVOIR_ML };
  const bench = benchOf(seed, crop, profile, draw);
  const grower = new GrowerAt(bench);
  grower.call('clock.set', { unixMs: bench.unixMs });
  grower.commission(profile);
  const watch = new DrawnWatch(bench);
  const visits = new Visits(grower, profile, HABITS.daily, (ms) => bench.run(ms));
  const sownMs = bench.nowMs;
  watch.byHand(() => visits.firstFill());
  const isOver = (): boolean =>
    bench.nowMs >= sownMs + longestDays * DAY_MS ||
    bench.nowMs > visits.transplantedMs + IN_BLOCKS_DAYS * DAY_MS;
  const absences: Absence[] = [];
  const lids = new LidNotes(grower, visits, lidNote ?? null);
  while (!isOver()) {
    const fromMs = bench.nowMs;
    watch.pass(Math.round(draw.between(AWAY_DAYS.least, AWAY_DAYS.most) * 24) * HOUR_MS);
    absences.push({ fromMs, toMs: bench.nowMs });
    const days = Math.round(draw.between(CARE_DAYS.least, CARE_DAYS.most));
    for (let day = 0; day < days; day++) {
      if (day > 0) watch.pass(DAY_MS);
      watch.byHand(() => visits.visit());
      lids.writeDown();
    }
  }
  const profileId = grower.status().profile?.id ?? 0;
  return { seed, profile, profileId, journal: grower.journal(), absences, drawn: watch.drawn };
}

/** Writes the lid's place into the journal whenever a visit has moved it, where the grower does that. */
class LidNotes {
  #place: LidPlace;

  constructor(
    readonly grower: GrowerAt<Bench>,
    readonly visits: Visits,
    readonly note: ((place: LidPlace) => string) | null,
  ) {
    this.#place = visits.lid;
  }

  writeDown(): void {
    const { lid } = this.visits;
    if (this.note === null || lid === this.#place) return;
    this.#place = lid;
    this.grower.call('note.write', { data: toBase64(encodeUtf8(this.note(lid))) });
  }
}

function benchOf(seed: number, crop: CropFileName, profile: Profile, draw: Random): Bench {
  return new Bench({
    seed,
    crop,
    ...trayOf(profile),
    rethrow: true,
    calmTickMs: CALM_TICK_MS,
    room: {
      meanC: draw.between(14, 26),
      swingK: draw.between(1, 4),
      humidityShare: draw.between(0.4, 0.7),
      weatherK: draw.between(0.3, 1.2),
      lampPpfd: draw.between(120, 250),
    },
    feedMs: firstFeedEc(profile),
  });
}

/** Writes down, twice an hour, what the pump has drawn. */
class DrawnWatch {
  readonly drawn: Drawn[] = [];
  #filledMl: number;

  constructor(readonly bench: Bench) {
    this.#filledMl = this.#reservoirMl;
  }

  get #reservoirMl(): number {
    return this.bench.state().pump.reservoirMl;
  }

  pass(ms: number): void {
    const { bench } = this;
    const endMs = bench.nowMs + ms;
    while (bench.nowMs < endMs) {
      bench.run(Math.min(LOOK_MS, endMs - bench.nowMs));
      this.drawn.push({ atMs: bench.nowMs, ml: this.#filledMl - this.#reservoirMl });
    }
  }

  /** What hands fill in or pour away the pump has not drawn. */
  byHand(act: () => void): void {
    const beforeMl = this.#reservoirMl;
    act();
    this.#filledMl += this.#reservoirMl - beforeMl;
  }
}
