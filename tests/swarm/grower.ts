/** A grower who does what the advice says, word by word: the commands in it are the ones that are carried out. */
import type { Bench } from '../../firmware/bench/bench';
import { BoardRefusal, GrowerAt } from '../../firmware/bench/grower';
import { nextSteps } from '../../shared/alarms/advice';
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import type { Status } from '../../shared/link/status';
import type { LidPlace, Mark, Profile } from '../../shared/profile/profile';
import { MINUTE_MS } from '../../shared/units/time';

/** A tray that was put back is known again sooner than this. */
const KNOWN_AGAIN_MS = 15 * MINUTE_MS;
/** As the advice says: until it has drained. */
const DRAINING_MS = 30 * MINUTE_MS;
const PRIME_MS = 10_000;
/** Wool that lacks less is full to the hand. */
const FULL_SHARE = 0.03;

/** Time passes; whoever watches looks meanwhile. */
export type Pass = (ms: number) => void;

/** Who watches, and has to be told what the grower knows or does. */
export interface Watcher {
  /** What the wool lacks, as a share of its capacity: a grower lifts plugs. */
  readonly dryBack: number;
  /** Somebody marked a weight that was none. */
  weightsDoubtful: boolean;
  readonly pins: { runByHand(ms: number): void };
}

/** What came of a grower's word. One that got no answer may have got through: a noisy line loses answers as well. */
export type Answer = 'taken' | 'refused' | 'unanswered';

/** Says it once: what the board refuses, it refuses, and nobody may be there to answer. Part of the run. */
export function attempt(act: () => void): Answer {
  try {
    act();
    return 'taken';
  } catch (error) {
    return error instanceof BoardRefusal ? 'refused' : 'unanswered';
  }
}

/**
 * What a mark of a soaked tray came to: the tray and its water; a thing with them, for all the grower knows; or none that the
 * grower knows of.
 */
export type Marked = 'tray' | 'tray-and-thing' | 'none';

/** Less beside the tray is nothing that could be taken for it, g. */
const THING_G = 50;

/** What hands do in the same minute they do one after another: nothing comes on a scale in the moment in which something goes. */
export const HANDS_APART_MS = 10_000;

export class SwarmGrower {
  readonly link: GrowerAt<Bench>;
  /** What the tray weighed dry, g: noted on the tray. */
  #dryG = Number.NaN;
  #standsAsMarked = true;
  /** When the tray was last put back on its scale, ms of the bench. */
  #putBackMs = 0;

  constructor(
    readonly bench: Bench,
    readonly profile: Profile,
    readonly pass: Pass,
    /** What the grower sees on the board, where it is not asked over the link; undefined: ask. */
    private readonly see: () => Status | null | undefined = () => undefined,
  ) {
    this.link = new GrowerAt(bench);
  }

  /** Null when nobody answers. */
  status(): Status | null {
    const seen = this.see();
    if (seen !== undefined) return seen;
    try {
      return this.link.status();
    } catch {
      return null;
    }
  }

  /** From an unpacked board to a sown tray, with the feed that it wants first. */
  commission(skipStages: number): void {
    const { link, bench } = this;
    link.call('clock.set', { unixMs: bench.unixMs });
    link.commission(this.profile);
    this.#dryG = bench.rig.plant.parameters.trayG + bench.rig.plant.wool.dryG;
    for (let i = 0; i < skipStages; i++) link.call('stage.next', {});
    this.refill();
    this.setLid();
  }

  mark(mark: Mark, more: { readonly volumeMl?: number; readonly feedEc?: number } = {}): Answer {
    const { faults } = this.bench.rig;
    const heard = attempt(() => this.link.call('mark.set', { mark, ...more }));
    // A line that is quiet loses nothing: nobody is there.
    const answer = heard === 'unanswered' && !faults.has('link-noise') ? 'refused' : heard;
    if (mark === 'soaked' || mark === 'dry') this.#noteWhatStands(answer);
    return answer;
  }

  /** Whether the tray, and nothing beside it, stood on the scale when they were marked soaked or dry last. */
  get standsAsMarked(): boolean {
    return this.#standsAsMarked;
  }

  #noteWhatStands(answer: Answer): void {
    if (answer === 'refused') return;
    const { plant, faults } = this.bench.rig;
    const loadG = plant.onScaleG(faults.wrong.trayLifted);
    const standsAlone = Math.abs(loadG - plant.trayMassG) < THING_G;
    this.#standsAsMarked = standsAlone && (answer === 'taken' || this.#standsAsMarked);
  }

  /** The lid as the running stage wants it. */
  setLid(): void {
    const { stage } = this.status() ?? {};
    const wanted: LidPlace | undefined = this.profile.stages[stage?.index ?? 0]?.lid;
    if (wanted !== undefined && wanted !== this.bench.rig.plant.lid) this.bench.hand.setLid(wanted);
  }

  /** To the top, with feed of the EC that the status shows. */
  refill(): void {
    const wantedEc = this.status()?.stage?.feedEc ?? 0;
    const feedEc =
      wantedEc > 0 ? wantedEc : (this.profile.stages.find((one) => one.feedEc > 0)?.feedEc ?? 0);
    const volumeMl = this.profile.reservoirMl;
    this.bench.hand.drainReservoir(0);
    this.bench.hand.refill(volumeMl, feedEc);
    this.mark('refilled', { volumeMl, feedEc });
  }

  soakAndMark(): Marked {
    this.bench.hand.soak();
    this.pass(DRAINING_MS);
    const answer = this.mark('soaked');
    if (answer === 'refused') return 'none';
    const { weightG, leftInTrayG } = this.bench.rig.plant;
    if (weightG !== 0 || leftInTrayG !== 0) return 'tray-and-thing';
    return answer === 'taken' ? 'tray' : 'none';
  }

  /** Says again what the dry tray weighs, and what it holds; and first that no water runs in any more. */
  tellWeights(): void {
    for (const alarm of ['pump-stuck-on', 'weight-rising'] as const) {
      attempt(() => this.link.call('alarm.clear', { alarm }));
    }
    attempt(() => this.link.call('mark.set', { mark: 'dry', trayG: this.#dryG }));
    this.soakAndMark();
  }

  recalibrate(massG: number): void {
    const { hand, rig } = this.bench;
    // A tray in its tub is taken out of it, and waits: nobody sets it down on the weight that is being measured.
    rig.later('tub', 0, () => {});
    hand.takeWeight();
    hand.clearTray();
    attempt(() => this.link.calibrateScale(massG));
    hand.takeWeight();
    hand.putTray();
  }

  prime(witness: Watcher): void {
    witness.pins.runByHand(PRIME_MS);
    attempt(() => this.link.call('pump.run', { ms: PRIME_MS, reason: 'prime' }));
    this.pass(MINUTE_MS);
  }

  /** Sees to every alarm that stands: what its advice says to do, in order; then says that it was seen or mended. */
  round(witness: Watcher): void {
    for (const { alarm, state } of this.status()?.alarms ?? []) {
      if (state !== 'normal') this.#seeTo(alarm, witness);
    }
  }

  #seeTo(alarm: AlarmName, witness: Watcher): void {
    for (const step of nextSteps(alarm)) this.#do(step, witness);
    attempt(() => this.link.call('alarm.accept', { alarm }));
    // What latches says so at the end of its advice: `trayward alarm mended`.
    if (ALARMS[alarm].latched) attempt(() => this.link.call('alarm.clear', { alarm }));
  }

  #do(step: string, witness: Watcher): void {
    if (/^(If|Otherwise)/.test(step) && !this.#applies(step, witness)) return;
    if (step.startsWith('Put the tray back')) this.#putBack();
    if (step.startsWith('Put the lid')) this.setLid();
    if (step.startsWith('Take it off')) this.#clear();
    if (step.includes('mark refilled')) this.refill();
    if (step.includes('pump prime')) this.prime(witness);
    if (step.includes('mark soaked') || step.includes('mark `soaked`')) {
      const marked = this.soakAndMark();
      if (marked !== 'none') witness.weightsDoubtful = marked === 'tray-and-thing';
    }
  }

  /** Remembers when: one that stood there before may not have been known again. */
  #putBack(): void {
    const { plant, faults } = this.bench.rig;
    const stood = plant.onScaleG(faults.wrong.trayLifted) > plant.trayMassG / 2;
    if (!stood) this.#putBackMs = this.bench.nowMs;
    this.bench.hand.putTray();
  }

  /** Advice that hangs on what the grower sees. */
  #applies(step: string, witness: Watcher): boolean {
    const { nowMs } = this.bench;
    if (step.startsWith('If it stands there')) return nowMs - this.#putBackMs > KNOWN_AGAIN_MS;
    if (step.startsWith('If water has run through')) return witness.dryBack < FULL_SHARE;
    return step.startsWith('If plugs feel light') && witness.dryBack > 0.3;
  }

  #clear(): void {
    const { hand, rig } = this.bench;
    const stood = rig.plant.weightG + rig.plant.leftInTrayG > 0;
    hand.takeJug();
    hand.clearTray();
    if (stood) this.pass(HANDS_APART_MS);
  }

  /** Nothing is wrong any more: hands, feed, lamp, lid and clock are as they should be. */
  putThingsRight(): void {
    const { hand, rig } = this.bench;
    this.#clear();
    this.#putBack();
    hand.switchLamp('timer');
    hand.hangLamp(1);
    rig.plant.room.sunny = false;
    rig.plant.probeInHand = false;
    rig.plant.touched();
    attempt(() => this.link.call('clock.set', { unixMs: this.bench.unixMs }));
    this.refill();
    this.setLid();
  }
}
