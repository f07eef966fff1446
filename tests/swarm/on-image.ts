/**
 * Runs a plan of minutes on the image that growers get, in the emulated board: a tray that has been in service for hours
 * is taken over, and its grower is at both doors. Judged are pins, starts, and what must outlive every cut.
 */
import { Bench } from '../../firmware/bench/bench';
import { ChipBench } from '../../firmware/bench/chip/chip-bench';
import { SimulatedFlash } from '../../firmware/bench/flash';
import { BoardRefusal, GrowerAt } from '../../firmware/bench/grower';
import { CALM_SOON_MS, CALMEST_TICK_MS } from '../../firmware/bench/pace';
import { trayOf } from '../../firmware/bench/tray-of';
import type { BuiltImage } from '../../firmware/image/build';
import { readFigures } from '../../firmware/image/figures';
import { DOOR, type Door } from '../../shared/board/map';
import type { MethodName, Params, Result } from '../../shared/link/methods';
import type { Profile } from '../../shared/profile/profile';
import { DAY_MS, MINUTE_MS } from '../../shared/units/time';
import { judgeAnswers, judgeBounds, judgeKept, noteKept } from './account';
import { isMishap, Mishaps } from './befall';
import { attempt, SwarmGrower } from './grower';
import type { ImageEvent, ImagePlan, Word } from './image-plan';
import { Pins } from './pins';
import type { Breach, Outcome } from './plan';
import { shippedProfile } from './vary';

const STEP_MS = 100;
/** From the supply to the first tick, the journal gone round. */
const START_MS = 3_000;
/** The variables of a board that was just started are noise. */
const CLEARED_MS = 50;
const TRIES = 3;
const DOORS: readonly Door[] = [DOOR.usb, DOOR.uart];

/** What the emulated board starts, and where in it the runtime keeps its figures. */
export type RunnableImage = Pick<BuiltImage, 'bytes' | 'symbols'>;

/** A grower whose program sends again what was not answered. */
class PatientGrower extends GrowerAt<ChipBench> {
  override call<M extends MethodName>(
    method: M,
    params: Omit<Params<M>, 'token'>,
    changes = true,
  ): Result<M> {
    for (let tries = 1; ; tries += 1) {
      try {
        return super.call(method, params, changes);
      } catch (error) {
        if (tries >= TRIES || error instanceof BoardRefusal) throw error;
        if (!this.bench.chip.isPowered) throw error;
      }
    }
  }
}

/** The same plan and image give the same outcome. */
export function runOnImage(plan: ImagePlan, image: RunnableImage): Outcome {
  return new ImageRun(plan, image).outcome();
}

class ImageRun {
  readonly #profile: Profile;
  readonly #bench: ChipBench;
  readonly #growers: ReadonlyMap<Door, PatientGrower>;
  readonly #pins: Pins;
  readonly #breaches: Breach[] = [];
  readonly #mishaps: Mishaps;
  /** Times at which an output went on, of the running start, ms. */
  #switchedOnMs: number[] = [];
  #stage: number | null = null;
  readonly #startMs: number;

  constructor(
    readonly plan: ImagePlan,
    readonly image: RunnableImage,
  ) {
    this.#profile = plan.profile ?? shippedProfile(plan.crop);
    const { bench: before, grower } = inService(plan, this.#profile);
    const flash = new SimulatedFlash({ seed: plan.seed, contents: before.flash.bytes });
    const { seed } = plan;
    this.#bench = new ChipBench({ seed, image: image.bytes, rig: before.rig, flash });
    this.#growers = new Map(DOORS.map((door) => [door, new PatientGrower(this.#bench, door)]));
    this.#pins = new Pins(
      this.#bench,
      this.#profile,
      this.#accuse,
      () => this.#stage,
      () => grower.standsAsMarked,
    );
    this.#mishaps = new Mishaps(this.#bench, this.#pins);
    this.#startMs = this.#bench.nowMs;
    const { chip } = this.#bench;
    const told = chip.onOutput;
    chip.onOutput = (change) => {
      told(change);
      if (change.on && change.output !== 'lamp') this.#switchedOnMs.push(change.atMs);
    };
  }

  outcome(): Outcome {
    const { plan } = this;
    const bench = this.#bench;
    this.#pins.happenedMs = bench.nowMs;
    this.#pass(START_MS);
    const kept = noteKept(this.#at(DOOR.usb));
    this.#noteStage();
    const beganMs = bench.nowMs;
    const passTo = (atMin: number): void => this.#pass(beganMs + atMin * MINUTE_MS - bench.nowMs);
    for (const event of plan.events) {
      passTo(event.atMin);
      this.#pins.happenedMs = bench.nowMs;
      this.#happen(event);
    }
    passTo(plan.putRightMin);
    this.#putRight();
    this.#pass(plan.recoverMin * MINUTE_MS);
    // Bounds are those of a day: what a few minutes may hold is not asked for.
    const days = (bench.nowMs - this.#startMs) / DAY_MS;
    const accuse = this.#accuse;
    for (const door of DOORS) {
      judgeAnswers(accuse, () => judgeKept(this.#at(door), kept, accuse));
    }
    judgeAnswers(accuse, () => judgeBounds(this.#at(DOOR.usb), plan, Math.max(1, days), accuse));
    judgeAnswers(accuse, () => this.#judgeDoors());
    this.#judgeStarts();
    return { breaches: this.#breaches, trayDays: days, starts: bench.boots.length };
  }

  readonly #accuse = (promise: string, says: string): void => {
    if (this.#breaches.some((breach) => breach.promise === promise)) return;
    const atMin = (this.#bench.nowMs - this.#startMs) / MINUTE_MS;
    this.#breaches.push({ promise, atMin, says });
  };

  #at(door: Door): PatientGrower {
    const grower = this.#growers.get(door);
    if (grower === undefined) throw new Error(`nobody is at door ${door}`);
    return grower;
  }

  #pass(ms: number): void {
    const bench = this.#bench;
    const endMs = bench.nowMs + ms;
    while (bench.nowMs < endMs) {
      const untilMs = Math.min(endMs, bench.nowMs + STEP_MS, this.#mishaps.nextEndMs);
      bench.run(Math.max(1, Math.ceil(untilMs - bench.nowMs)));
      this.#mishaps.endDue();
      this.#judgeStart();
    }
  }

  #happen(event: ImageEvent): void {
    if (isMishap(event)) {
      this.#mishaps.befall(event);
      return;
    }
    attempt(() => this.#say(event, this.#at(event.door)));
    this.#noteStage();
  }

  #say(word: Word, grower: PatientGrower): void {
    switch (word.kind) {
      case 'mark':
        grower.call('mark.set', { mark: word.mark });
        return;
      case 'clock':
        grower.call('clock.set', {
          unixMs: this.#bench.rig.unixMs + word.wrongByMin * MINUTE_MS,
        });
        return;
      case 'next-stage':
        grower.call('stage.next', {});
        return;
      case 'load':
        grower.load(this.#profile);
        return;
      case 'read-journal':
        grower.journal();
        return;
    }
  }

  #noteStage(): void {
    attempt(() => {
      const index = this.#at(DOOR.usb).status().stage?.index ?? null;
      if (index !== this.#stage) this.#pins.stageBegins();
      this.#stage = index;
    });
  }

  #putRight(): void {
    this.#mishaps.endAll();
    this.#pass(START_MS);
  }

  /** Nothing is on before the program is ready. */
  #judgeStart(): void {
    const { chip, boots, nowMs } = this.#bench;
    const beganMs = boots.at(-1)?.atMs ?? 0;
    if (!chip.isPowered || nowMs - beganMs < CLEARED_MS) return;
    const { ticks, startUs } = readFigures(chip, this.image.symbols);
    if (ticks === 0) return;
    const early = this.#switchedOnMs.find((ms) => ms >= beganMs && ms < beganMs + startUs / 1000);
    if (early !== undefined) {
      this.#accuse('on-before-ready', `on ${(early - beganMs).toFixed(0)} ms after the start`);
    }
    this.#switchedOnMs = [];
  }

  /** One board, whichever door is asked. */
  #judgeDoors(): void {
    const [one, other] = DOORS.map((door) => {
      const { profile, stage, alarms } = this.#at(door).status();
      const standing = alarms.map(({ alarm, state }) => `${alarm} ${state}`).sort();
      return JSON.stringify([profile?.id, stage?.index, standing]);
    });
    if (one !== other) this.#accuse('doors-differ', `${one} and ${other}`);
  }

  /** It starts when its supply comes back, and after it hung, and never else. */
  #judgeStarts(): void {
    const { boots, chip } = this.#bench;
    const hung = this.plan.events.filter(
      (event) => event.kind === 'fault' && event.fault === 'board-hung',
    ).length;
    const byWatchdog = boots.filter(({ cause }) => cause === 'watchdog').length;
    const others = boots.filter(({ cause }) => cause !== 'watchdog' && cause !== 'power-on');
    if (byWatchdog > hung) this.#accuse('unasked-start', `${byWatchdog} by the watchdog`);
    if (others.length > 0) {
      this.#accuse('unasked-start', others.map(({ cause }) => cause).join(', '));
    }
    const wrong = [...chip.faults.map(({ what }) => what), ...chip.complaints];
    if (wrong.length > 0) this.#accuse('ill-made-image', wrong.join('; '));
  }
}

/** The tray in this process, sown and left alone for as long as the plan says. */
function inService(plan: ImagePlan, profile: Profile) {
  const bench = new Bench({
    seed: plan.seed,
    crop: plan.crop,
    ...trayOf(profile),
    room: plan.room,
    trayG: plan.trayG,
    calmTickMs: CALMEST_TICK_MS,
    calmAfterMs: CALM_SOON_MS,
  });
  const grower = new SwarmGrower(bench, profile, (ms) => bench.run(ms));
  grower.commission(plan.skipStages);
  bench.run(plan.agedMin * MINUTE_MS);
  return { bench, grower };
}
