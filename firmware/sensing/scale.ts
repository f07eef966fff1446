/**
 * The tray scale: raw 24-bit codes in, grams and state out. No I/O; the state lives in the object.
 * Saturation codes are faults and never mass. Weight is the mean of the middle codes of a short
 * window, so that one disturbed conversion does not count. No automatic zero tracking: a drying
 * tray is not drift.
 */
import { SCALE_CODE_MAX, SCALE_CODE_MIN } from '../../shared/board/map';
import type { ScaleCalibration } from '../../shared/link/methods';
import type { ScaleState } from '../../shared/link/status';
import { SENSING_LIMITS as LIMITS } from '../limits';

/** A cell loaded past this share of its capacity is treated as saturated. */
const OVERLOAD_SHARE = 1.1;
/** E|a - b| of two normal deviates, in standard deviations: 2 / sqrt(pi). */
const MEAN_DIFFERENCE_SIGMAS = 1.1284;
/** The middle codes of a window lie within one standard deviation of each other, as a rule, and nearly always within two. */
const SPREAD_SIGMAS = 2;
/** And their mean is so many times steadier than they are: it may move by as much less from tick to tick. */
const MEAN_STEADIER = 3;
/** Codes over which the noise estimate remembers. */
const NOISE_MEMORY = 64;
/**
 * One code may tell of no more than so many times the noise known so far, and a little: a spike or a
 * step is no noise, and must not keep the next dose from being proved.
 */
const NOISE_OUTLIER_SIGMAS = 4;
const NOISE_FLOOR_CODES = 16;

/** One scale, read once a tick. */
export class ScaleSense {
  #state: ScaleState = 'silent';
  #code = Number.NaN;
  #grams = Number.NaN;
  #spreadG = Number.NaN;
  #noiseG = 0;
  #stable = false;
  #stableSinceMs = 0;
  #calibration: ScaleCalibration | null = null;
  #measurement: Measurement | null = null;

  readonly #window = new Float64Array(LIMITS.scaleWindow);
  readonly #sorted = new Float64Array(LIMITS.scaleWindow);
  #count = 0;
  #next = 0;
  #lastCodeMs = 0;
  #saturatedTicks = 0;
  #noiseCodes = 0;
  #noisyMs = 0;
  #previousG = Number.NaN;
  /** Even change from tick to tick, g: a tray that drains moves, and does not tremble. */
  #driftG = 0;

  get state(): ScaleState {
    return this.#state;
  }

  /** Newest raw code, NaN before the first. */
  get code(): number {
    return this.#code;
  }

  /** Weight on the scale, g; NaN while it cannot be told. */
  get grams(): number {
    return this.#grams;
  }

  /** Spread of the middle of the window, g (codes while uncalibrated). */
  get spreadG(): number {
    return this.#spreadG;
  }

  /** Standard deviation of single codes, g; 0 while uncalibrated. */
  get noiseG(): number {
    return this.#noiseG;
  }

  /** The weight stands still. */
  get stable(): boolean {
    return this.#stable;
  }

  /** Uptime since which it does, ms; or did the last time. */
  get stableSinceMs(): number {
    return this.#stableSinceMs;
  }

  get calibration(): ScaleCalibration | null {
    return this.#calibration;
  }

  get measurement(): Measurement | null {
    return this.#measurement;
  }

  /** Puts a calibration in force; null: none. */
  calibrate(calibration: ScaleCalibration | null): void {
    this.#calibration = calibration;
  }

  /** Starts a mean of `samples` codes; one under way is dropped. */
  measure(samples: number): void {
    this.#measurement = new Measurement(samples);
  }

  /** One tick: `code` is NaN when the converter had nothing new. `rootZoneC` for the zero's drift. */
  take(code: number, uptimeMs: number, dtMs: number, rootZoneC: number): void {
    if (Number.isNaN(code)) {
      if (uptimeMs - this.#lastCodeMs >= LIMITS.scaleSilentMs) this.#lose('silent');
      return;
    }
    this.#lastCodeMs = uptimeMs;
    const previous = this.#code;
    this.#code = code;
    if (code >= SCALE_CODE_MAX || code <= SCALE_CODE_MIN) {
      this.#saturatedTicks++;
      this.#measurement?.spoil();
      if (this.#saturatedTicks >= LIMITS.scaleSaturatedTicks) this.#lose('saturated');
      return;
    }
    this.#saturatedTicks = 0;
    this.#measurement?.take(code);
    this.#push(code, previous);
    this.#weigh(uptimeMs, dtMs, rootZoneC);
  }

  get calibrated(): boolean {
    return this.#calibration !== null;
  }

  /** The weight stands still, and has for long enough to weigh a dose by it. */
  isSettled(uptimeMs: number): boolean {
    return this.#stable && uptimeMs - this.#stableSinceMs >= LIMITS.scaleSettleMs;
  }

  #lose(state: ScaleState): void {
    this.#state = state;
    this.#grams = Number.NaN;
    this.#spreadG = Number.NaN;
    this.#stable = false;
    this.#count = 0;
    this.#noisyMs = 0;
    this.#previousG = Number.NaN;
    this.#driftG = 0;
  }

  #push(code: number, previous: number): void {
    const full = this.#count === LIMITS.scaleWindow;
    this.#sort(code, full ? this.#sorted.indexOf(this.#window[this.#next] ?? 0) : this.#count++);
    this.#window[this.#next] = code;
    this.#next = (this.#next + 1) % LIMITS.scaleWindow;
    if (this.#count > 1 && !Number.isNaN(previous)) {
      const mostCodes = NOISE_OUTLIER_SIGMAS * this.#noiseCodes + NOISE_FLOOR_CODES;
      const sigma = Math.min(Math.abs(code - previous) / MEAN_DIFFERENCE_SIGMAS, mostCodes);
      this.#noiseCodes += (sigma - this.#noiseCodes) / NOISE_MEMORY;
    }
  }

  /** Puts `code` into the sorted window, `at` whose place the oldest leaves. */
  #sort(code: number, at: number): void {
    const sorted = this.#sorted;
    const last = this.#count - 1;
    let to = at;
    for (; to > 0 && (sorted[to - 1] ?? 0) > code; to--) sorted[to] = sorted[to - 1] ?? 0;
    for (; to < last && (sorted[to + 1] ?? 0) < code; to++) sorted[to] = sorted[to + 1] ?? 0;
    sorted[to] = code;
  }

  #weigh(uptimeMs: number, dtMs: number, rootZoneC: number): void {
    if (this.#count < LIMITS.scaleWindow) {
      if (this.#state === 'silent' || this.#state === 'saturated') return;
    }
    const middle = this.#middleOfWindow();
    const calibration = this.#calibration;
    const countsPerG = calibration === null ? 1 : calibration.countsPerG;
    this.#spreadG = this.#spreadCodes / Math.abs(countsPerG);
    if (calibration === null) {
      this.#state = 'uncalibrated';
      this.#grams = Number.NaN;
      this.#stable = false;
      return;
    }
    const warmedK = Number.isNaN(rootZoneC) ? 0 : rootZoneC - calibration.atC;
    const zero = calibration.zeroCode + calibration.zeroCodePerK * warmedK;
    const grams = (middle - zero) / countsPerG;
    if (grams > calibration.cellG * OVERLOAD_SHARE) {
      this.#lose('saturated');
      return;
    }
    this.#noiseG = this.#noiseCodes / Math.abs(countsPerG);
    const mostG = this.#mostSpreadG;
    const still =
      this.#count >= LIMITS.scaleWindow &&
      this.#spreadG <= mostG &&
      Math.abs(grams - this.#previousG) <= Math.max(LIMITS.scaleStableG, mostG / MEAN_STEADIER);
    if (still && !this.#stable) this.#stableSinceMs = uptimeMs;
    this.#stable = still;
    this.#judgeNoise(this.#trembles(grams, mostG), uptimeMs, dtMs);
    this.#previousG = grams;
    this.#grams = grams;
  }

  /**
   * Most spread of a window that stands still, g. A platform that trembles evenly stands still all the same: its mean
   * is true to a part of its noise, which a dose's proof is held against. NaN when it trembles too much for a dose.
   */
  get #mostSpreadG(): number {
    const noisy = this.#state === 'noisy';
    const mostG = noisy ? LIMITS.scaleQuietG : LIMITS.scaleNoiseMaxG;
    if (this.#noiseG > mostG) return Number.NaN;
    return Math.max(LIMITS.scaleStableG, SPREAD_SIGMAS * this.#noiseG);
  }

  /** Trembling and standing still are weighed against each other: what comes and goes is no new alarm each time. */
  #judgeNoise(trembles: boolean, uptimeMs: number, dtMs: number): void {
    const most = LIMITS.scaleNoisyMs;
    if (this.isSettled(uptimeMs)) this.#noisyMs = Math.max(0, this.#noisyMs - dtMs);
    else if (trembles) this.#noisyMs = Math.min(most, this.#noisyMs + dtMs);
    const isNoisy = this.#state === 'noisy' ? this.#noisyMs > 0 : this.#noisyMs >= most;
    this.#state = isNoisy ? 'noisy' : 'ok';
  }

  /** The spread of the window is more than an even change makes of it: what moves evenly does not tremble. */
  #trembles(grams: number, mostG: number): boolean {
    const changeG = grams - this.#previousG;
    if (!Number.isNaN(changeG)) this.#driftG += (changeG - this.#driftG) / LIMITS.scaleDriftTicks;
    const evenG = Math.abs(this.#driftG) * LIMITS.scaleWindow;
    const stillG = Number.isNaN(mostG) ? LIMITS.scaleStableG : mostG;
    return this.#spreadG > stillG + evenG;
  }

  #spreadCodes = 0;

  /** Mean of the sorted window without `scaleTrim` codes at each end. */
  #middleOfWindow(): number {
    const sorted = this.#sorted;
    const count = this.#count;
    const trim = count >= LIMITS.scaleWindow ? LIMITS.scaleTrim : 0;
    let sum = 0;
    for (let i = trim; i < count - trim; i++) sum += sorted[i] ?? 0;
    this.#spreadCodes = (sorted[count - 1 - trim] ?? 0) - (sorted[trim] ?? 0);
    return sum / (count - 2 * trim);
  }
}

/** A longer mean of raw codes, for calibration; takes codes until it has `wanted`. All in codes. */
export class Measurement {
  #samples = 0;
  #saturated = false;
  #mean = 0;
  #squares = 0;
  #firstHalf = 0;
  #secondHalf = 0;

  constructor(readonly wanted: number) {}

  get samples(): number {
    return this.#samples;
  }

  get saturated(): boolean {
    return this.#saturated;
  }

  get done(): boolean {
    return this.#samples >= this.wanted;
  }

  get meanCode(): number {
    return this.#mean;
  }

  /** Standard deviation of single codes. */
  get sdCode(): number {
    return this.#samples > 1 ? Math.sqrt(this.#squares / (this.#samples - 1)) : 0;
  }

  /** Mean of the second half minus mean of the first. */
  get driftCode(): number {
    const half = Math.floor(this.wanted / 2);
    if (!this.done || half === 0) return 0;
    return this.#secondHalf / (this.wanted - half) - this.#firstHalf / half;
  }

  /** A code came that is no mass. */
  spoil(): void {
    this.#saturated = true;
  }

  take(code: number): void {
    if (this.done) return;
    if (this.#samples < Math.floor(this.wanted / 2)) this.#firstHalf += code;
    else this.#secondHalf += code;
    this.#samples++;
    const difference = code - this.#mean;
    this.#mean += difference / this.#samples;
    this.#squares += difference * (code - this.#mean);
  }
}
