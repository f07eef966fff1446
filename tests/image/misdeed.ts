/** What a script does on purpose that no controller should. */

/** What a controller does that misbehaves. In reach: `board`, `ticks` (from 1), `say(text)`, which sends a line to UART0. */
export interface Misdeed {
  readonly tick?: string;
  readonly receive?: string;
  readonly rest?: string;
  /** Runs at each start of the board, before the controller is made. */
  readonly start?: string;
}

/** By name. */
export type Misdeeds = Readonly<Record<string, Misdeed>>;

/** A misdeed that says what each expression gives on the board, or the name of the error it throws. */
export const saying = (expressions: readonly string[]): Misdeed => ({
  tick: `const work = [${expressions.map((text) => `() => ${text}`).join()}][ticks - 1];
  if (work) try { say(work()); } catch (error) { say(error.name); }`,
});
