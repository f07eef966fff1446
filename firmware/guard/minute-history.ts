/** One value a minute, for as many minutes as the slowest judgement looks back. No garbage. */
export class MinuteHistory {
  readonly #values: Float64Array;
  #next = 0;
  #count = 0;

  constructor(readonly minutes: number) {
    this.#values = new Float64Array(minutes);
  }

  push(value: number): void {
    this.#values[this.#next] = value;
    this.#next = (this.#next + 1) % this.minutes;
    if (this.#count < this.minutes) this.#count++;
  }

  /** The value pushed `minutes` pushes before the newest; NaN when the history is shorter. */
  ago(minutes: number): number {
    if (minutes >= this.#count) return Number.NaN;
    return this.#values[(this.#next - 1 - minutes + 2 * this.minutes) % this.minutes] ?? Number.NaN;
  }

  /** How many pushes before the newest the oldest value is; 0 without one. */
  get spanMin(): number {
    return Math.max(0, this.#count - 1);
  }

  clear(): void {
    this.#count = 0;
  }
}
