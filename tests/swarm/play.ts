/** Runs a plan on the bench, with the witness watching. The same plan gives the same outcome. */
import { Bench } from '../../firmware/bench/bench';
import { type PaceOptions, STILLEST_TICK_MS } from '../../firmware/bench/pace';
import { trayOf } from '../../firmware/bench/tray-of';
import { waters } from '../../shared/profile/profile';
import { DAY_MS, HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import { judgeAnswers, judgeBounds, judgeKept, noteKept } from './account';
import { isMishap, Mishaps } from './befall';
import { Display } from './display';
import { attempt, HANDS_APART_MS, SwarmGrower } from './grower';
import type { Outcome, Plan, PlanEvent } from './plan';
import { shippedProfile } from './vary';
import { LOOK_MS, Witness } from './witness';

/** After all is put right the grower comes back so soon, then every two hours. */
const ROUNDS_MIN = [0, 20, 60, 120] as const;
const ROUND_EVERY_MIN = 120;
/**
 * The tray stands in a warm place beside the scale for a while, so that it has to be watered: dried past the start
 * share by so much, in outings of so much each. No outing begins while a dose is proved.
 */
const DRY_BEYOND = 0.06;
const OUTING_MOST = 0.1;
const OUTINGS_MOST = 4;
const OUTING_MS = 30 * MINUTE_MS;
const CALM_MS = 40 * MINUTE_MS;
const CALM_MOST_MS = 3 * HOUR_MS;
/** Stages that a grower goes on to see the tray watered. */
const ONWARDS_MOST = 3;

const EVERY_TICK: PaceOptions = {};
/** Hands are over two minutes after the weight stood still. */
const QUICK_CALM_MS = 150_000;
/** A weight stands still for the firmware where the middle five of its readings are within 1 g, noise and all. */
const QUICK_LOAD_G = 0.1;
/** Calmer, sooner and seldomer than where seasons are measured: what goes wrong so is looked at again. */
const QUICK: PaceOptions = {
  calmTickMs: STILLEST_TICK_MS,
  calmAfterMs: QUICK_CALM_MS,
  calmBy: { by: 'load', mostG: QUICK_LOAD_G },
};

/** With every tick. */
export function runPlan(plan: Plan): Outcome {
  return new Run(plan, EVERY_TICK).outcome();
}

/** Calm ticks are left out, which is faster; what breaks a promise so is run with every tick, and that counts. */
export function tryPlan(plan: Plan): Outcome {
  const quick = hunted(plan);
  return quick?.breaches.length === 0 ? quick : runPlan(plan);
}

/** Null where even the grower did not get through: a word that the board would not take. */
function hunted(plan: Plan): Outcome | null {
  try {
    return new Run(plan, QUICK).outcome();
  } catch {
    return null;
  }
}

/** It moves what stands on the scale. */
const isByHand = (event: PlanEvent): boolean =>
  event.kind === 'hand' || (event.kind === 'fault' && event.fault === 'tray-lifted');

class Run {
  readonly #bench: Bench;
  readonly #grower: SwarmGrower;
  readonly #witness: Witness;
  readonly #mishaps: Mishaps;
  #startMs = 0;

  constructor(
    readonly plan: Plan,
    pace: PaceOptions,
  ) {
    const profile = plan.profile ?? shippedProfile(plan.crop);
    const display = new Display();
    this.#bench = new Bench({
      seed: plan.seed,
      crop: plan.crop,
      ...trayOf(profile),
      room: plan.room,
      ...pace,
      trayG: plan.trayG,
      firmware: display.firmware,
    });
    const bench = this.#bench;
    const isQuick = pace !== EVERY_TICK;
    // Only a line that is quiet may be left out: over a noisy one a grower sees nothing.
    const grower = new SwarmGrower(bench, profile, this.#pass, () =>
      isQuick && !bench.rig.faults.has('link-noise') ? display.status(bench) : undefined,
    );
    this.#grower = grower;
    this.#witness = new Witness(
      this.#bench,
      plan,
      profile,
      () =>
        isQuick
          ? display.shown(bench)
          : bench.rig.faults.without('link-noise', () => grower.status()),
      () => grower.standsAsMarked,
    );
    this.#mishaps = new Mishaps(bench, this.#witness.pins);
  }

  outcome(): Outcome {
    const { plan } = this;
    this.#grower.commission(plan.skipStages);
    this.#startMs = this.#bench.nowMs;
    this.#witness.begin();
    this.#witness.ask();
    const kept = noteKept(this.#grower.link);
    let handAtMin = Number.NaN;
    for (const event of plan.events) {
      this.#passTo(event.atMin);
      if (isByHand(event)) {
        if (event.atMin === handAtMin) this.#pass(HANDS_APART_MS);
        handAtMin = event.atMin;
      }
      this.#witness.pins.happenedMs = this.#bench.nowMs;
      this.#happen(event);
    }
    this.#passTo(plan.putRightMin);
    this.#putRight();
    this.#passTo(plan.putRightMin + plan.recoverMin);
    const days = (this.#bench.nowMs - this.#startMs) / DAY_MS;
    for (const { error } of this.#bench.boots) {
      if (error !== null) this.#witness.accuse('exception', error.split('\n')[0] ?? error);
    }
    const { link } = this.#grower;
    const { accuse } = this.#witness;
    judgeAnswers(accuse, () => judgeKept(link, kept, accuse));
    judgeAnswers(accuse, () => judgeBounds(link, plan, days, accuse));
    const starts = this.#bench.boots.length;
    return { breaches: this.#witness.breaches, trayDays: days, starts };
  }

  #passTo(atMin: number): void {
    this.#pass(this.#startMs + atMin * MINUTE_MS - this.#bench.nowMs);
  }

  readonly #pass = (ms: number): void => {
    const bench = this.#bench;
    const endMs = bench.nowMs + ms;
    while (bench.nowMs < endMs) {
      const nextMs = Math.floor(bench.nowMs / LOOK_MS + 1) * LOOK_MS;
      bench.run(Math.min(endMs, nextMs, this.#mishaps.nextEndMs) - bench.nowMs);
      this.#mishaps.endDue();
      if (bench.nowMs === nextMs) this.#witness.look();
    }
  };

  #happen(event: PlanEvent): void {
    const bench = this.#bench;
    const grower = this.#grower;
    const witness = this.#witness;
    if (isMishap(event)) {
      this.#mishaps.befall(event);
      return;
    }
    switch (event.kind) {
      case 'mark': {
        const { mark, volumeMl } = event;
        witness.stageMoved = true;
        const answer = grower.mark(mark, volumeMl === undefined ? {} : { volumeMl });
        const isOfWeight = mark === 'dry' || mark === 'soaked';
        if (isOfWeight && answer !== 'refused') witness.weightsDoubtful = true;
        // What a noisy line has lost is no sowing: the stage goes on to its own end.
        if (answer === 'taken' && mark === 'sown') witness.stageEnters();
        return;
      }
      case 'clock':
        if (event.wrongByMin !== 0) witness.clockWrong = true;
        attempt(() =>
          grower.link.call('clock.set', { unixMs: bench.unixMs + event.wrongByMin * MINUTE_MS }),
        );
        return;
      case 'restart':
        bench.reset(event.cause);
        return;
      case 'soak-and-mark':
        if (grower.soakAndMark() === 'tray-and-thing') witness.weightsDoubtful = true;
        return;
      case 'refill-and-mark':
        grower.refill();
        return;
      case 'recalibrate':
        if (bench.rig.faults.none) grower.recalibrate(event.massG);
        return;
      case 'round':
        grower.round(witness);
        return;
      case 'next-stage':
        this.#nextStage();
        return;
    }
  }

  /** Every cause ends; the grower follows the advice, and the tray gets so dry that it has to be watered. */
  #putRight(): void {
    const bench = this.#bench;
    const { plan } = this;
    this.#mishaps.endAll();
    this.#pass(2 * MINUTE_MS);
    this.#grower.putThingsRight();
    this.#pass(10 * MINUTE_MS);
    if (this.#witness.weightsDoubtful) {
      this.#grower.tellWeights();
      this.#witness.weightsDoubtful = false;
    }
    for (const atMin of ROUNDS_MIN) {
      this.#passTo(plan.putRightMin + atMin);
      this.#grower.round(this.#witness);
    }
    this.#witness.heatDueMs = bench.nowMs;
    this.#onwards();
    this.#dry();
    this.#witness.waterDueMs = bench.nowMs;
    const endMin = plan.putRightMin + plan.recoverMin;
    for (let atMin = plan.putRightMin + ROUND_EVERY_MIN; atMin < endMin; atMin += ROUND_EVERY_MIN) {
      this.#passTo(atMin);
      this.#grower.round(this.#witness);
    }
  }

  /** By the grower's word, if the same pieces stay on the scale: true when it is tried. */
  #nextStage(): boolean {
    const { profile, link } = this.#grower;
    const index = this.#witness.ask()?.stage?.index;
    if (index === undefined) return false;
    const next = profile.stages[index + 1];
    if (next === undefined || next.medium !== profile.stages[index]?.medium) return false;
    this.#witness.stageMoved = true;
    attempt(() => link.call('stage.next', {}));
    return true;
  }

  /** On to the next stage that waters, if one comes before the plants are moved. */
  #onwards(): void {
    const { profile } = this.#grower;
    for (let i = 0; i < ONWARDS_MOST; i++) {
      const stage = profile.stages[this.#witness.ask()?.stage?.index ?? -1] ?? null;
      if (stage === null || waters(stage) || !this.#nextStage()) break;
    }
    this.#grower.setLid();
    this.#grower.refill();
  }

  #dry(): void {
    const index = this.#witness.ask()?.stage?.index ?? 0;
    const { watering } = this.#grower.profile.stages[index] ?? {};
    if (!watering) return;
    const { hand, rig } = this.#bench;
    const { pins } = this.#witness;
    this.#awaitCalm();
    const beganMs = this.#bench.nowMs;
    for (let i = 0; i < OUTINGS_MOST && pins.pumpedAtMs < beganMs; i++) {
      const lacks = watering.startShare + DRY_BEYOND - this.#witness.dryBack;
      if (lacks <= 0) return;
      hand.takeTray();
      // The mat may have been switched on a moment ago.
      pins.happenedMs = this.#bench.nowMs;
      this.#pass(OUTING_MS);
      const { wool } = rig.plant;
      wool.heldG = Math.max(0, wool.heldG - Math.min(lacks, OUTING_MOST) * wool.capacityG);
      hand.putTray();
      this.#pass(this.plan.stopMin * MINUTE_MS);
    }
  }

  #awaitCalm(): void {
    const endMs = this.#bench.nowMs + CALM_MOST_MS;
    do this.#pass(LOOK_MS);
    while (
      this.#bench.nowMs < endMs &&
      this.#bench.nowMs - this.#witness.pins.pumpedAtMs < CALM_MS
    );
  }
}
