/** While nothing can be sent: when it is tried again, and what is said of it, each reason once. */
import { BrokerError } from '../broker/refusal';
import { SEND_LIMITS } from '../limits';

/** The broker is well, and has nobody to hand it to. */
export class NobodyThere extends BrokerError {}

export class Hold {
  #untilMs = Number.NEGATIVE_INFINITY;
  /** Failures on end. */
  #times = 0;
  /** Empty while all goes out. */
  #why = '';

  /** `steadyMs`: time that no setting of the clock moves, ms. */
  constructor(
    private readonly steadyMs: () => number,
    private readonly say: (text: string) => void,
  ) {}

  /** Whether it is too early to try again. */
  get isOn(): boolean {
    return this.steadyMs() < this.#untilMs;
  }

  /** Something was not sent. A broker that is away is left alone for longer each time; a collector is looked for. */
  failed(error: unknown): void {
    const { retryMs, nobodyMs } = SEND_LIMITS;
    const isNobody = error instanceof NobodyThere;
    const times = isNobody ? 0 : this.#times;
    const waitMs = isNobody ? nobodyMs : (retryMs[Math.min(times, retryMs.length - 1)] ?? 0);
    // A mistake of ours must not end the keeping of trays: it is told like any other failure.
    const why =
      error instanceof BrokerError
        ? error.message
        : `Something went wrong inside the program (${Object(error).message}).`;
    if (why !== this.#why) {
      this.say(`journals: ${why} They wait in the store, and go out when it is well again.`);
    }
    this.#untilMs = this.steadyMs() + waitMs;
    this.#times = times + 1;
    this.#why = why;
  }

  /** Something was taken by somebody. */
  over(): void {
    if (this.#why !== '') this.say('journals: go out again.');
    this.#untilMs = Number.NEGATIVE_INFINITY;
    this.#times = 0;
    this.#why = '';
  }
}
