/** What a grower does at the tray, visit after visit, from status and sight alone. */
import type { Status } from '../../../shared/link/status';
import type { LidPlace, Profile } from '../../../shared/profile/profile';
import { DAY_MS, DAY_S, MINUTE_MS } from '../../../shared/units/time';
import type { Bench } from '../bench';
import type { GrowerAt } from '../grower';
import type { Habits } from './habits';

/** The lid is lifted for fresh air once a day while it is closed. */
const AIRING_MS = 5 * MINUTE_MS;
/** A week of hardening, then the transplant (common practice). */
const HARDENED_S = 6.5 * DAY_S;
/** Moving eight plugs into blocks, and the blocks drained until they are marked. */
const TRANSPLANTING_MS = 20 * MINUTE_MS;
const DRAINED_MS = 30 * MINUTE_MS;
/** A mark that was refused is made again. */
const SOAKED_TRIES = 4;
const AGAIN_MS = 5 * MINUTE_MS;
/** A reservoir is filled before it asks when it is down to so much of its size. */
const LOW_SHARE = 0.25;
/** Feed that differs by more is mixed anew, mS/cm. */
const SAME_EC = 0.05;

/** Time passes; whoever watches looks meanwhile. */
export type Pass = (ms: number) => void;

export class Visits {
  /** Bench times, ms; NaN until then. */
  emergedSeenMs = Number.NaN;
  emergedMarkedMs = Number.NaN;
  transplantedMs = Number.NaN;
  /** What the plants weighed and had taken when they were moved; null until then. */
  refills = 0;
  #lid: LidPlace;
  #refillAskedMs = Number.NaN;
  #reservoirEc: number;

  constructor(
    readonly grower: GrowerAt<Bench>,
    readonly profile: Profile,
    readonly habits: Habits,
    readonly pass: Pass,
  ) {
    this.#lid = profile.stages[0]?.lid ?? 'closed';
    this.#reservoirEc = firstFeedEc(profile);
  }

  /** Where the lid was put last. */
  get lid(): LidPlace {
    return this.#lid;
  }

  /** The feed that the first watering stage wants is mixed before the tray is sown. */
  firstFill(): void {
    this.#fill(this.#reservoirEc);
  }

  /** One visit, by the board's own words and by what is seen. */
  visit(): void {
    const { grower, habits } = this;
    const { bench } = grower;
    grower.call('clock.set', { unixMs: bench.unixMs });
    this.#acceptAlarms(grower.status());
    this.#lookForSeedlings();
    if (this.#lid === 'closed') this.#air();
    const { stage } = grower.status();
    if (stage?.endsByMark === 'transplanted' && stage.runS >= HARDENED_S) this.#transplant();
    this.#setLid();
    this.#feed(grower.status(), habits);
  }

  #acceptAlarms({ alarms }: Status): void {
    for (const { alarm, state } of alarms) {
      if (state !== 'normal' && state !== 'accepted') this.grower.call('alarm.accept', { alarm });
    }
  }

  #lookForSeedlings(): void {
    const { grower, habits } = this;
    const nowMs = grower.bench.nowMs;
    const { progress } = grower.bench.state().plants;
    if (Number.isNaN(this.emergedSeenMs) && progress >= 1) this.emergedSeenMs = nowMs;
    const dueMs = this.emergedSeenMs + habits.emergedLateDays * DAY_MS;
    if (!Number.isNaN(this.emergedMarkedMs) || !(nowMs >= dueMs)) return;
    this.emergedMarkedMs = nowMs;
    if (grower.status().stage?.endsByMark === 'emerged')
      grower.call('mark.set', { mark: 'emerged' });
  }

  #air(): void {
    this.grower.bench.hand.setLid('propped');
    this.pass(AIRING_MS);
    this.grower.bench.hand.setLid(this.#lid);
  }

  #setLid(): void {
    const { stage } = this.grower.status();
    const wanted = this.profile.stages[stage?.index ?? 0]?.lid;
    if (wanted === undefined || wanted === this.#lid) return;
    this.#lid = wanted;
    this.grower.bench.hand.setLid(wanted);
  }

  #feed({ stage, water }: Status, habits: Habits): void {
    const nowMs = this.grower.bench.nowMs;
    const wantedEc = stage?.feedEc ?? 0;
    const other = wantedEc > 0 && Math.abs(wantedEc - this.#reservoirEc) > SAME_EC;
    const low = (water.reservoirLeftMl ?? 0) < LOW_SHARE * this.profile.reservoirMl;
    if (!other && !low) return;
    if (Number.isNaN(this.#refillAskedMs)) this.#refillAskedMs = nowMs;
    const lateDays = this.refills === 0 ? habits.firstRefillLateDays : 0;
    if (nowMs < this.#refillAskedMs + lateDays * DAY_MS) return;
    this.#refillAskedMs = Number.NaN;
    this.refills++;
    this.#fill(wantedEc > 0 ? wantedEc : this.#reservoirEc);
  }

  /** The rest is poured away: what is left of another feed would make a third one. */
  #fill(feedEc: number): void {
    const { hand } = this.grower.bench;
    const volumeMl = this.profile.reservoirMl;
    this.#reservoirEc = feedEc;
    hand.drainReservoir(0);
    hand.refill(volumeMl, feedEc);
    this.grower.call('mark.set', { mark: 'refilled', volumeMl, feedEc });
  }

  #transplant(): void {
    const { grower, profile } = this;
    const { bench } = grower;
    const after = profile.stages[(grower.status().stage?.index ?? 0) + 1];
    const blocks = profile.media[after?.medium ?? 0];
    if (blocks === undefined) throw new Error('nothing to transplant into');
    this.transplantedMs = bench.nowMs;
    bench.hand.takeTray();
    this.pass(TRANSPLANTING_MS);
    bench.hand.transplant(blocks);
    grower.call('mark.set', { mark: 'transplanted' });
    this.pass(DRAINED_MS);
    this.#markSoaked();
  }

  /** Something may have moved the tray a moment ago: then the mark is refused, and made a little later. */
  #markSoaked(): void {
    for (let tries = 1; ; tries++) {
      try {
        this.grower.call('mark.set', { mark: 'soaked' });
        return;
      } catch (error) {
        if (tries === SOAKED_TRIES) throw error;
        this.pass(AGAIN_MS);
      }
    }
  }
}

/** Feed that the first stage which waters wants, mS/cm. */
export function firstFeedEc(profile: Profile): number {
  return profile.stages.find(({ feedEc }) => feedEc > 0)?.feedEc ?? 0;
}
