/**
 * Looks every ten minutes at the plant as it really is, and at what the board says of it. It shares no arithmetic
 * with the firmware: of the board it takes only what a grower reads - which alarms stand, which stage is shown.
 */
import type { Bench } from '../../firmware/bench/bench';
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import type { AlarmReport } from '../../shared/link/status';
import type { Profile, Stage } from '../../shared/profile/profile';
import { HOUR_MS, MINUTE_MS } from '../../shared/units/time';
import type { Shown } from './display';
import { Pins } from './pins';
import type { Breach, Plan } from './plan';
import { PROMISES, SAYS_BAND, SAYS_COLD, SAYS_DRY, SAYS_DRY_LID_OFF } from './promises';
import { NO_THINGS, NO_WEIGHT, nextThings, SAYS_THING, UnseenThings } from './things';

export const LOOK_MS = 10 * MINUTE_MS;
const LOOKS_AN_HOUR = HOUR_MS / LOOK_MS;

export class Witness {
  readonly breaches: Breach[] = [];
  readonly pins: Pins;
  /** Somebody marked a weight that was none: the board cannot know, until it is soaked and marked. */
  weightsDoubtful = false;
  /** Marks and words of the grower, and clocks, that may move a stage on or back. */
  stageMoved = false;
  clockWrong = false;
  /** All is put right since; Infinity until then. */
  heatDueMs = Number.POSITIVE_INFINITY;
  waterDueMs = Number.POSITIVE_INFINITY;
  #startMs = 0;
  #shown: number | null = null;
  #enteredMs = 0;
  #before: Stage | null = null;
  #beyondK: number[] = [];
  /** With the root-zone probe where it belongs, and with it out. */
  #unsaidBandMs = 0;
  #unsaidBlindMs = 0;
  #unsaidDryMs = 0;
  #unsaidFeedMs = 0;
  #weight = NO_THINGS;
  #leftInTray = NO_THINGS;
  readonly #unseen = new UnseenThings();
  #coldSinceMs = Number.NaN;
  #thirstySinceMs = Number.NaN;
  #overheatedMs = 0;

  constructor(
    readonly bench: Bench,
    readonly plan: Plan,
    readonly profile: Profile,
    /** What the board shows, over a quiet line; null when nobody answers. */
    readonly read: () => Shown | null,
    standsAsMarked: () => boolean,
  ) {
    const stageShown = () => {
      this.ask();
      return this.#shown;
    };
    this.pins = new Pins(bench, profile, this.accuse, stageShown, standsAsMarked);
  }

  /** The first breach of each promise is kept. */
  readonly accuse = (promise: string, says: string): void => {
    if (this.breaches.some((breach) => breach.promise === promise)) return;
    this.breaches.push({ promise, atMin: this.nowMin, says });
  };

  get nowMin(): number {
    return Math.round((this.bench.nowMs - this.#startMs) / MINUTE_MS);
  }

  /** Plan time begins. */
  begin(): void {
    this.#startMs = this.bench.nowMs;
    this.breaches.length = 0;
  }

  /** The grower marked the tray sown, or went on: what is shown next is another entry into a stage. */
  stageEnters(): void {
    if (this.#shown !== null) this.#before = this.profile.stages[this.#shown] ?? null;
    this.#shown = null;
    this.stageMoved = true;
  }

  /** What the board shows, over a quiet line; null when nobody answers. */
  ask(): Shown | null {
    const status = this.read();
    if (status !== null) this.#follow(status);
    return status;
  }

  look(): void {
    const status = this.ask();
    const { plant, faults } = this.bench.rig;
    const isBlind = status === null || NO_WEIGHT.some((fault) => faults.has(fault));
    this.#unseen.look(isBlind, plant.weightG + plant.leftInTrayG, this.dryBack);
    const stage = this.#shown === null ? null : (this.profile.stages[this.#shown] ?? null);
    if (status === null || stage === null) {
      this.#unwatched();
      return;
    }
    const standing = new Set(status.alarms.filter(stands).map(({ alarm }) => alarm));
    const said = (names: readonly AlarmName[]): boolean => names.some((name) => standing.has(name));
    this.#judgeHeatAbove(stage);
    this.#judgeBand(stage, said);
    if (!isBlind) this.#seeThings();
    const isLidOff = plant.lid === 'off';
    const saysDry = said(isLidOff ? [...SAYS_DRY, ...SAYS_DRY_LID_OFF] : SAYS_DRY);
    this.#judgeDry(stage, saysDry, said(SAYS_THING));
    this.#judgeFeed(stage, said(SAYS_DRY));
    this.#judgeHeatBack(stage);
    this.#judgeWaterBack(stage);
    this.#judgeLatched(status.alarms);
  }

  get dryBack(): number {
    const { wool } = this.bench.rig.plant;
    return 1 - (wool.heldG + wool.channelG) / wool.capacityG;
  }

  /** The same, for a scale that takes so many grams of things for water. */
  #seenWith(asWaterG: number): number {
    return this.dryBack - asWaterG / this.bench.rig.plant.wool.capacityG;
  }

  /** The same: things that passed for water as they came are water, whatever stood there before. */
  get #seenDryBack(): number {
    return this.#seenWith(this.#weight.asWaterG + this.#leftInTray.asWaterG);
  }

  /** A scale sees what things are on the tray: those that came while none did come now. */
  #seeThings(): void {
    const { weightG, leftInTrayG } = this.bench.rig.plant;
    this.#weight = nextThings(this.#weight, weightG, (g) =>
      this.#seenWith(g + this.#leftInTray.asWaterG),
    );
    this.#leftInTray = nextThings(this.#leftInTray, leftInTrayG, (g) =>
      this.#seenWith(g + this.#weight.asWaterG),
    );
  }

  get #isAway(): boolean {
    const { plant, faults } = this.bench.rig;
    return !plant.trayOnScale || faults.wrong.trayLifted;
  }

  #unwatched(): void {
    this.#beyondK = [];
    this.#unsaidBandMs = 0;
    this.#unsaidBlindMs = 0;
    this.#unsaidDryMs = 0;
    this.#unsaidFeedMs = 0;
    this.#coldSinceMs = Number.NaN;
    this.#thirstySinceMs = Number.NaN;
    this.#overheatedMs = 0;
  }

  #follow({ stage }: Shown): void {
    const index = stage?.index ?? null;
    if (index === this.#shown) return;
    const left = this.#shown === null ? null : (this.profile.stages[this.#shown] ?? null);
    const forMs = this.bench.nowMs - this.#enteredMs;
    const dueMs = (left?.end.afterS ?? 0) * 1000 - PROMISES.stageEarlyMs;
    if (left !== null && !this.stageMoved && !this.clockWrong && forMs < dueMs) {
      this.accuse('stage-early', `${left.name} ended after ${(forMs / HOUR_MS).toFixed(1)} h`);
    }
    if (left !== null) this.#before = left;
    this.#shown = index;
    this.#enteredMs = this.bench.nowMs;
    this.stageMoved = false;
    this.pins.stageBegins();
  }

  /** Edges of the band, C: a stage that has just begun may have that of the one before still. */
  #bandOf(stage: Stage): { lowC: number; highC: number } {
    const isNew = this.bench.nowMs - this.#enteredMs < PROMISES.bandChangeMs;
    const before = isNew && this.#before ? this.#before : stage;
    return {
      lowC: Math.min(lowestC(stage), lowestC(before)),
      highC: Math.max(highestC(stage), highestC(before)),
    };
  }

  #judgeHeatAbove(stage: Stage): void {
    const { nowMs, rig } = this.bench;
    const { rootZoneC } = rig.plant.thermal;
    const heats = nowMs - this.pins.matOnAtMs < MINUTE_MS && !this.pins.probeIsBlind;
    const isAbove = rootZoneC > this.#bandOf(stage).highC + PROMISES.heatAboveBandK;
    this.#overheatedMs = heats && isAbove ? this.#overheatedMs + LOOK_MS : 0;
    if (this.#overheatedMs > PROMISES.heatAboveBandMs) {
      this.accuse('heat-above-band', `root zone ${rootZoneC.toFixed(1)} C`);
    }
  }

  /** A tray that stands somewhere else is not where its band is: that time does not count. */
  #judgeBand(stage: Stage, said: (names: readonly AlarmName[]) => boolean): void {
    if (this.#isAway) return;
    const { lowC, highC } = this.#bandOf(stage);
    const rootC = this.bench.rig.plant.thermal.rootZoneC;
    const beyondK = Math.max(lowC - rootC, rootC - highC);
    this.#beyondK.push(beyondK);
    if (this.#beyondK.length > LOOKS_AN_HOUR + 1) this.#beyondK.shift();
    const isBeyond = beyondK > PROMISES.bandBeyondK + PROMISES.probeK;
    const isKnownCold = rootC < lowC && !this.pins.probeIsBlind;
    if (!isBeyond || said(isKnownCold ? SAYS_COLD : SAYS_BAND)) {
      this.#unsaidBandMs = 0;
      this.#unsaidBlindMs = 0;
    } else if ((this.#beyondK[0] ?? 0) - beyondK < PROMISES.bandBackK) {
      if (this.pins.probeIsOut) this.#unsaidBlindMs += LOOK_MS;
      else this.#unsaidBandMs += LOOK_MS;
    }
    if (
      this.#unsaidBandMs > PROMISES.bandUnsaidMs ||
      this.#unsaidBlindMs > PROMISES.bandUnsaidBlindMs
    ) {
      const where = `${rootC.toFixed(1)} C beside ${lowC} to ${highC} C`;
      this.accuse('out-of-band-unsaid', where);
    }
  }

  #judgeDry(stage: Stage, said: boolean, saysThing: boolean): void {
    const beyond = this.#seenDryBack - stage.rescue.share - PROMISES.weighedShare;
    const mayBeThing = saysThing && beyond <= this.#unseen.lostShare;
    const isUnsaid = beyond > 0 && !said && !mayBeThing && !this.weightsDoubtful;
    this.#unsaidDryMs = isUnsaid ? this.#unsaidDryMs + LOOK_MS : 0;
    if (this.#unsaidDryMs > PROMISES.dryUnsaidMs) {
      this.accuse('dry-unsaid', `dry-back ${this.dryBack.toFixed(2)} of ${stage.rescue.share}`);
    }
  }

  #judgeFeed({ watering, opening, name }: Stage, said: boolean): void {
    const isDue =
      watering !== null &&
      opening !== null &&
      this.pins.stageMl === 0 &&
      this.bench.nowMs - this.#enteredMs > opening.byS * 1000;
    this.#unsaidFeedMs = isDue && !said ? this.#unsaidFeedMs + LOOK_MS : 0;
    if (this.#unsaidFeedMs > PROMISES.feedUnsaidMs) this.accuse('feed-late-unsaid', name);
  }

  #judgeHeatBack({ band, nightBand }: Stage): void {
    const { nowMs, rig } = this.bench;
    const rootC = rig.plant.thermal.rootZoneC;
    const lowC = lowestC({ band, nightBand });
    const isCold = rootC < lowC - PROMISES.probeK && nowMs >= this.heatDueMs;
    if (!isCold) this.#coldSinceMs = Number.NaN;
    else if (Number.isNaN(this.#coldSinceMs)) this.#coldSinceMs = nowMs;
    const sinceMs = Math.max(this.#coldSinceMs, this.pins.matOnAtMs);
    if (nowMs - sinceMs > PROMISES.heatBackMs) {
      this.accuse('heat-not-back', `${rootC.toFixed(1)} C, band from ${lowC} C`);
    }
  }

  #judgeWaterBack({ watering }: Stage): void {
    const { nowMs, rig } = this.bench;
    const isThirsty =
      watering !== null &&
      nowMs >= this.waterDueMs &&
      this.profile.quiet === null &&
      this.dryBack > watering.startShare + PROMISES.weighedShare &&
      rig.plant.pump.reservoirMl > watering.doseMl &&
      isLeft(this.pins.dayMl + watering.doseMl, watering.maxDayMl) &&
      isLeft(this.pins.stageMl + watering.doseMl, watering.maxStageMl);
    if (!isThirsty) this.#thirstySinceMs = Number.NaN;
    else if (Number.isNaN(this.#thirstySinceMs)) this.#thirstySinceMs = nowMs;
    const sinceMs = Math.max(this.#thirstySinceMs, this.pins.pumpedAtMs);
    if (nowMs - sinceMs > PROMISES.waterBackMs) {
      this.accuse('water-not-back', `dry-back ${this.dryBack.toFixed(2)}`);
    }
  }

  /** What was put right stays right: nothing latches anew. */
  #judgeLatched(alarms: readonly AlarmReport[]): void {
    const forS = (this.bench.nowMs - this.heatDueMs) / 1000;
    for (const { alarm, ageS } of alarms) {
      if (ALARMS[alarm].latched && ageS < forS) this.accuse('latched-again', alarm);
    }
  }
}

type Bands = Pick<Stage, 'band' | 'nightBand'>;

/** Edges of the bands of a stage, by day and by night, C. */
const lowestC = ({ band, nightBand }: Bands): number =>
  Math.min(band.lowC, nightBand?.lowC ?? band.lowC);
const highestC = ({ band, nightBand }: Bands): number =>
  Math.max(band.highC, nightBand?.highC ?? band.highC);

/** A cap leaves room for so much, and for what the board may count it as. */
function isLeft(ml: number, capMl: number): boolean {
  return ml * (1 + PROMISES.pumpSeemsShare) <= capMl;
}

function stands({ state }: AlarmReport): boolean {
  return state !== 'normal' && state !== 'returned';
}
