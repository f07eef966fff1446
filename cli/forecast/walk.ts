/**
 * The tray's days ahead if nobody comes: it dries as the forecast has it, and the controller waters by its own rules,
 * which are the firmware's. Pure.
 */
import { allowedMl, fullCaps } from '../../firmware/control/caps';
import { isItTimeOf } from '../../firmware/control/day-window';
import { feedWaitMs, isOtherFeed } from '../../firmware/control/feed';
import { type Need, type NeedState, NO_NEED, nextNeed } from '../../firmware/control/need';
import { changeByTime, type StageState, stageOf } from '../../firmware/control/stages';
import { WATER_LIMITS } from '../../firmware/limits';
import { trayAtDryBackG } from '../../shared/physics/dry-back';
import { gFromMl, USUAL_WATER_C } from '../../shared/physics/water';
import type { Profile, Stage } from '../../shared/profile/profile';
import { spreadNeedMl } from '../../shared/profile/spread';
import { DAY_MIN, DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { FORECAST_LIMITS as LIMITS } from './limits';
import { lossSteps, type Uptake } from './uptake';

const STEP_H = 0.25;
const STEP_MS = STEP_H * HOUR_MS;
/** Doses that fit into a step, soaking in between. */
const DOSES_A_STEP = 2;

/** A dose, ms from now: of the past where that is negative; and why it is given. */
export interface Dose {
  readonly inMs: number;
  readonly ml: number;
  readonly need: Need;
}

/** How the tray stands now. */
export interface Place {
  readonly profile: Profile;
  readonly stage: StageState;
  /** The stage has had the water it opens with; and this hold its rescue dose. */
  readonly opened: boolean;
  readonly rescued: boolean;
  readonly dryBackShare: number;
  readonly capacityG: number;
  readonly dryG: number;
  /** Given in the last day, and in this stage, ml. */
  readonly lately: readonly Dose[];
  readonly stageMl: number;
  /** Null while nobody has said what is in it. */
  readonly reservoirMl: number | null;
  /** Pumped by account since it was filled, ml. */
  readonly usedMl: number;
  /** NaN while not known. Filled so long ago, ms. */
  readonly feedEc: number;
  readonly filledAgoMs: number;
  /** Minute of the day where the profile keeps its hours, and hour of the day of the forecast's shape. */
  readonly minuteOfDay: number | null;
  readonly hourOfDay: number;
}

/** What ends the tray's being held, by itself. */
export const END_KINDS = ['reservoir', 'too-dry', 'day-cap', 'stage-cap'] as const;
export type EndKind = (typeof END_KINDS)[number];

export interface End {
  readonly kind: EndKind;
  readonly inMs: number;
}

export interface StageBegin {
  readonly index: number;
  readonly inMs: number;
}

export interface Ahead {
  /** The first of each kind, in order of time. */
  readonly ends: readonly End[];
  readonly doses: readonly Dose[];
  readonly stages: readonly StageBegin[];
}

/** Walks as far as the reservoir or the horizon goes; `z` as in `lossSteps`: positive dries faster than is likely. */
export function walk(place: Place, uptake: Uptake, z: number): Ahead {
  // The pump has drawn more or less than its account.
  const walker = new Walker(place, -z * LIMITS.pumpShare * place.usedMl);
  const loss = lossSteps(uptake, z, place.hourOfDay, STEP_H);
  walker.begin();
  for (let step = 1; step * STEP_H <= LIMITS.horizonH; step++) {
    if (!walker.step(step * STEP_MS, loss())) break;
  }
  return { ends: walker.ends, doses: walker.doses, stages: walker.stages };
}

class Walker {
  readonly ends: End[] = [];
  readonly doses: Dose[] = [];
  readonly stages: StageBegin[] = [];
  #stage: StageState;
  #need: NeedState = NO_NEED;
  #opened: boolean;
  #rescued: boolean;
  #dryBackShare: number;
  #stageMl: number;
  #leftMl: number;
  #dry = false;
  /** The first dose of the last day, in `doses`. */
  #dayFrom = 0;
  readonly #spreadMl: number;

  constructor(
    readonly place: Place,
    /** What the reservoir holds beside its account, ml. */
    besideMl: number,
  ) {
    this.#stage = place.stage;
    this.#opened = place.opened;
    this.#rescued = place.rescued;
    this.#dryBackShare = place.dryBackShare;
    this.#stageMl = place.stageMl;
    this.#leftMl = (place.reservoirMl ?? Number.POSITIVE_INFINITY) + besideMl;
    const { spread } = place.profile;
    this.#spreadMl = spread === null ? 0 : spreadNeedMl(spread);
  }

  /** As it stands now: wool may be too dry already. */
  begin(): void {
    const stage = stageOf(this.place.profile, this.#stage.index);
    if (stage !== null) this.#judgeDryness(stage, 0);
  }

  /** One step, to `inMs` from now; false where there is no more to walk. */
  step(inMs: number, lostG: number): boolean {
    const { profile, capacityG, dryG } = this.place;
    this.#dryBackShare += lostG / (capacityG - dryG);
    const { index, runMs, staying } = this.#stage;
    this.#stage = { index, runMs: runMs + STEP_MS, staying };
    const change = changeByTime(this.#stage, profile, 'run-time');
    if (change !== null) this.#enter(change.state, inMs);
    const stage = stageOf(profile, this.#stage.index);
    if (stage === null) return false;
    this.#judgeDryness(stage, inMs);
    for (let dose = 0; dose < DOSES_A_STEP; dose++) {
      const need = this.#wants(stage, dose === 0 ? STEP_MS : 0);
      if (need === null || this.#isHeld(stage, inMs)) break;
      if (!this.#give(need, stage, inMs)) return false;
    }
    return true;
  }

  #enter(state: StageState, inMs: number): void {
    this.#stage = state;
    this.#need = NO_NEED;
    this.#opened = false;
    this.#rescued = false;
    this.#stageMl = 0;
    this.stages.push({ index: state.index, inMs });
  }

  get #trayG(): number {
    return trayAtDryBackG(this.#dryBackShare, this.place);
  }

  #wants(stage: Stage, dtMs: number): Need | null {
    const { capacityG, dryG } = this.place;
    const step = nextNeed(this.#need, {
      dtMs,
      stage,
      stageRunMs: this.#stage.runMs,
      opened: this.#opened,
      trayG: this.#trayG,
      dryBackShare: this.#dryBackShare,
      stable: true,
      capacityG,
      dryG,
      tooDry: this.#dry,
      rescued: this.#rescued,
      spreadMl: this.#spreadMl,
    });
    this.#need = step.state;
    return step.need;
  }

  #isHeld(stage: Stage, inMs: number): boolean {
    const { feedEc, filledAgoMs, minuteOfDay, profile } = this.place;
    const waits =
      isOtherFeed(feedEc, stage.feedEc) && feedWaitMs(this.#stage.runMs, filledAgoMs + inMs) > 0;
    const minute = minuteOfDay === null ? null : (minuteOfDay + inMs / MINUTE_MS) % DAY_MIN;
    return waits || isItTimeOf(profile.quiet, minute);
  }

  /** Gives a dose; false where the reservoir has none. */
  #give(need: Need, stage: Stage, inMs: number): boolean {
    const { capacityG, dryG } = this.place;
    const given = { dayMl: this.#dayMl(inMs), stageMl: this.#stageMl };
    const ml = allowedMl(
      {
        need,
        stage,
        opened: this.#opened,
        mlCountsAs: 1,
        spreadMl: this.#spreadMl,
        trayG: this.#trayG,
        capacityG,
        dryG,
      },
      given,
    );
    if (ml === 0) {
      const full = stage.watering && fullCaps(stage.watering.doseMl, stage.watering, given);
      if (full?.stage) this.#end('stage-cap', inMs);
      else if (full?.day) this.#end('day-cap', inMs);
      return true;
    }
    if (ml > this.#leftMl) {
      this.#end('reservoir', inMs);
      return false;
    }
    this.#leftMl -= ml;
    this.#stageMl += ml;
    this.#dryBackShare -= gFromMl(ml, USUAL_WATER_C) / (capacityG - dryG);
    this.#opened ||= need === 'opening';
    this.#rescued ||= need === 'rescue';
    this.doses.push({ inMs, ml, need });
    return true;
  }

  #dayMl(inMs: number): number {
    const sinceMs = inMs - (WATER_LIMITS.dayHours / 24) * DAY_MS;
    let ml = 0;
    for (const dose of this.place.lately) if (dose.inMs > sinceMs) ml += dose.ml;
    // Its own are in order of time: those of a month are not looked at again for each of them.
    while ((this.doses[this.#dayFrom]?.inMs ?? inMs) <= sinceMs) this.#dayFrom++;
    for (let i = this.#dayFrom; i < this.doses.length; i++) ml += this.doses[i]?.ml ?? 0;
    return ml;
  }

  #judgeDryness({ rescue }: Stage, inMs: number): void {
    this.#dry = this.#dryBackShare >= rescue.share;
    if (this.#dry) this.#end('too-dry', inMs);
  }

  #end(kind: EndKind, inMs: number): void {
    if (this.ends.every((end) => end.kind !== kind)) this.ends.push({ kind, inMs });
  }
}
