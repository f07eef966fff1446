/** Writes down, twice an hour or as it is told, what is really so on the bench beside what the board says. */
import { ALARMS, type AlarmName } from '../../../shared/alarms/catalogue';
import type { Status } from '../../../shared/link/status';
import type { LidPlace, Profile } from '../../../shared/profile/profile';
import { MINUTE_MS } from '../../../shared/units/time';
import type { Bench } from '../bench';
import type { GrowerAt } from '../grower';
import type { BenchState } from '../state';

/** Between two looks, unless it is told otherwise. */
const LOOK_MS = 30 * MINUTE_MS;
const LOOK_LEAST_MS = MINUTE_MS;

/** One look. */
export interface Look {
  readonly atMs: number;
  readonly truth: Pick<
    BenchState,
    'rootZoneC' | 'roomC' | 'lid' | 'tray' | 'feed' | 'pump' | 'plants'
  >;
  readonly stage: number;
  readonly bandLowC: number;
  readonly bandHighC: number;
  readonly rescueShare: number;
  readonly feedEc: number;
  readonly lidWanted: LidPlace;
  /** Dry-back as the board has it, and as it really is. */
  readonly toldDryBack: number | null;
  /** What the plants are thought to have gained since this container capacity, and how sure that is, g. */
  readonly told: {
    readonly grownG: number;
    readonly offG: number;
    readonly capacityG: number | null;
  };
  readonly standing: ReadonlySet<AlarmName>;
  /** The alarm that holds heat or water off, or null. */
  readonly lockedOutBy: string | null;
  /** The running stage has had the water it opens with, or opens with none. */
  readonly opened: boolean;
  /** Given to the tray since emergence, by the board's account. */
  readonly givenMl: number;
  readonly givenMg: number;
  /** The same to each plant, by the pieces of each stage. */
  readonly eachMl: number;
  /** The board calls the reservoir low below this, ml. */
  readonly reservoirLowMl: number;
  /** Since the look before, ms. */
  readonly spanMs: number;
}

export class Watcher {
  readonly looks: Look[] = [];
  #nextMs: number;
  #entered = { stage: -1, givenMl: 0 };

  constructor(
    readonly grower: GrowerAt<Bench>,
    readonly profile: Profile,
    readonly lookMs = LOOK_MS,
  ) {
    if (!(lookMs >= LOOK_LEAST_MS)) throw new RangeError(`Looks ${lookMs} ms apart are too many.`);
    this.#nextMs = grower.bench.nowMs + lookMs;
  }

  /** Lets time pass, looking every `lookMs`. */
  readonly pass = (ms: number): void => {
    const { bench } = this.grower;
    const endMs = bench.nowMs + ms;
    while (bench.nowMs < endMs) {
      bench.run(Math.min(endMs, this.#nextMs) - bench.nowMs);
      if (bench.nowMs < this.#nextMs) continue;
      this.#nextMs += this.lookMs;
      this.#look(this.grower.status());
    }
  };

  #look({ stage, heat, water, alarms }: Status): void {
    const { bench } = this.grower;
    const now = this.profile.stages[stage?.index ?? 0];
    if (stage === null || now === undefined) return;
    if (stage.index !== this.#entered.stage) {
      this.#entered = { stage: stage.index, givenMl: water.plantsMl };
    }
    this.looks.push({
      atMs: bench.nowMs,
      truth: bench.state(),
      stage: stage.index,
      bandLowC: heat.lowC ?? Number.NaN,
      bandHighC: heat.highC ?? Number.NaN,
      rescueShare: now.rescue.share,
      feedEc: now.feedEc,
      lidWanted: now.lid,
      toldDryBack: water.dryBackShare,
      told: { grownG: water.grownG, offG: water.grownOffG, capacityG: water.capacityG },
      standing: new Set(
        alarms.flatMap(({ alarm, state }) =>
          state === 'normal' || state === 'returned' ? [] : [alarm],
        ),
      ),
      lockedOutBy: [heat.heldBy, water.heldBy].find(isAlarm) ?? null,
      opened: now.opening === null || water.plantsMl > this.#entered.givenMl,
      givenMl: water.plantsMl,
      givenMg: water.plantsSaltsMg,
      eachMl: water.eachMl ?? Number.NaN,
      reservoirLowMl: Math.max(0.1 * this.profile.reservoirMl, 2 * (now.watering?.doseMl ?? 0)),
      spanMs: this.lookMs,
    });
  }
}

/** A tray that is off at the moment is a reason by the same name as its alarm, and no lock-out. */
const isAlarm = (heldBy: string | null): boolean =>
  heldBy !== null && heldBy !== 'tray-off' && Object.hasOwn(ALARMS, heldBy);
