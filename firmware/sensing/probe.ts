/**
 * One thermistor: raw ADC codes in, temperature and state out. No I/O; the state lives in the
 * object, one for each probe. Told faults by the code itself (open, short), by a code that never
 * moves (frozen), and by moving faster than wet wool can (jumped).
 */
import { LIMITER } from '../../shared/board/map';
import type { ProbeState } from '../../shared/link/status';
import type { CodeWindow } from '../../shared/physics/probe-curve';
import { MINUTE_MS } from '../../shared/units/time';
import { SENSING_LIMITS as LIMITS } from '../limits';

/** Temperature of a code in degrees Celsius; see `shared/physics/ntc.ts`. */
export type CodeToCelsius = (code: number) => number;

/** A bad reading weighs more than a good one, so that a loose contact is found out as well. */
const BAD_WEIGHT = 2;
/** The board's mean may be of both sides when a contact opens or closes: so many readings stand alone. */
const MIXED_TICKS = 2;

/** One probe, read once a tick. */
export class ProbeSense {
  #celsius = Number.NaN;
  #state: ProbeState = 'ok';
  #code = Number.NaN;
  #doubtful = true;
  #addedK = 0;

  #goodTicks = MIXED_TICKS;
  #badScore = 0;
  /** The fault that was found, until the probe has read well for long enough. */
  #fault: ProbeState | null = null;
  #frozenCode = Number.NaN;
  #frozenSinceMs = 0;
  /** Where it stood at the ends of the last steps, the newest at `#nextStep - 1`; NaN: not yet. */
  readonly #stepsC = new Float64Array(LIMITS.probeSteps).fill(Number.NaN);
  #nextStep = 0;
  #stepMs = Number.NEGATIVE_INFINITY;
  #slewFromC = Number.NaN;
  #slewFromMs = 0;
  #jumped = false;

  /** `window`: the codes beyond which it is open or short; those of the reference probe unless given. */
  constructor(
    readonly toCelsius: CodeToCelsius,
    readonly window: CodeWindow = LIMITER,
  ) {}

  /** Smoothed temperature with the calibration offset, degrees Celsius; NaN while not usable. */
  get celsius(): number {
    return this.#celsius;
  }

  get state(): ProbeState {
    return this.#state;
  }

  /** Newest raw code, 0..4095. */
  get code(): number {
    return this.#code;
  }

  /** True from the first bad reading on, before it counts as a fault: the mat must drop at once. */
  get doubtful(): boolean {
    return this.#doubtful;
  }

  /** Calibration, K, added to every reading. */
  get addedK(): number {
    return this.#addedK;
  }

  /** One reading: raw code, uptime and the time since the last one, both in ms. Any code is taken. */
  take(code: number, uptimeMs: number, dtMs: number): void {
    this.#code = code;
    const { openCode, shortCode } = this.window;
    const fault: ProbeState | null = !(code <= openCode)
      ? 'open'
      : code < shortCode
        ? 'short'
        : null;
    if (fault !== null) {
      this.#takeBad(fault);
      return;
    }
    if (this.#goodTicks < MIXED_TICKS) {
      this.#goodTicks++;
      this.#celsius = Number.NaN;
      this.#forget();
    }
    this.#badScore = Math.max(0, this.#badScore - 1);
    if (this.#badScore === 0) this.#fault = null;
    const rawC = this.toCelsius(code) + this.#addedK;
    const share = Math.min(1, dtMs / LIMITS.probeSmoothingMs);
    this.#celsius = Number.isNaN(this.#celsius)
      ? rawC
      : this.#celsius + (rawC - this.#celsius) * share;
    this.#judgeFrozen(code, uptimeMs);
    // A jump is told a tick late: where a bad reading follows it was no movement.
    const jumped = this.#jumped;
    this.#judgeMovement(uptimeMs);
    const frozen = uptimeMs - this.#frozenSinceMs >= LIMITS.probeFrozenMs;
    this.#state = this.#fault ?? (frozen ? 'frozen' : jumped ? 'jumped' : 'ok');
    // A probe whose curve is lost gives sound codes, and no temperature.
    this.#doubtful = this.#state !== 'ok' || Number.isNaN(rawC);
  }

  /** Puts a calibration in force, K. The reading takes that step at once, and it is no movement. */
  calibrate(addedK: number): void {
    if (addedK === this.#addedK) return;
    this.#celsius += addedK - this.#addedK;
    this.#addedK = addedK;
    this.#forget();
  }

  /** A hand was on the probe and says so (a mark, a cleared alarm): movement is judged from now. */
  restartJudging(): void {
    this.#forget();
  }

  #takeBad(fault: ProbeState): void {
    this.#goodTicks = 0;
    this.#badScore += BAD_WEIGHT;
    this.#doubtful = true;
    this.#celsius = Number.NaN;
    if (this.#badScore < LIMITS.probeFaultTicks * BAD_WEIGHT) return;
    this.#badScore = LIMITS.probeSoundTicks;
    this.#fault ??= fault;
    this.#state = this.#fault;
  }

  #forget(): void {
    this.#frozenCode = Number.NaN;
    this.#stepsC.fill(Number.NaN);
    this.#slewFromC = Number.NaN;
    this.#jumped = false;
  }

  #judgeFrozen(code: number, uptimeMs: number): void {
    if (Math.abs(code - this.#frozenCode) <= LIMITS.probeFrozenCode) return;
    this.#frozenCode = code;
    this.#frozenSinceMs = uptimeMs;
  }

  #judgeMovement(uptimeMs: number): void {
    if (uptimeMs - this.#stepMs >= LIMITS.probeStepMs) this.#judgeStep(uptimeMs);
    if (Number.isNaN(this.#slewFromC)) {
      this.#slewFromC = this.#celsius;
      this.#slewFromMs = uptimeMs;
    } else if (uptimeMs - this.#slewFromMs >= LIMITS.probeSlewMs) {
      const minutes = (uptimeMs - this.#slewFromMs) / MINUTE_MS;
      if (Math.abs(this.#celsius - this.#slewFromC) > LIMITS.probeSlewKPerMin * minutes) {
        this.#jumped = true;
      }
      this.#slewFromC = this.#celsius;
      this.#slewFromMs = uptimeMs;
    }
  }

  /** A probe follows a step with a lag of its own, so a step is looked for over several. */
  #judgeStep(uptimeMs: number): void {
    for (const fromC of this.#stepsC) {
      if (Math.abs(this.#celsius - fromC) > LIMITS.probeStepK) this.#jumped = true;
    }
    this.#stepsC[this.#nextStep] = this.#celsius;
    this.#nextStep = (this.#nextStep + 1) % LIMITS.probeSteps;
    this.#stepMs = uptimeMs;
  }
}
