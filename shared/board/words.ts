/** What the board says of itself, in words that both ends share. The order is on flash and on the wire: append only. */

/** Why the board last started. `watchdog` and later ones count as restarts by fault. */
export const RESET_CAUSES = [
  'power-on',
  'request',
  'watchdog',
  'brown-out',
  'fault',
  'exception',
  'abort',
] as const;
export type ResetCause = (typeof RESET_CAUSES)[number];

/**
 * `Board.resetDetail` of a `fault` that is none of the processor's own, which tell the address of the
 * instruction. An unexpected interrupt has `FAULT_SOURCE_STEP` times its exception number added (16: IRQ 0).
 */
export const FAULT_DETAIL = {
  stackOverflow: 1,
  unexpectedInterrupt: 2,
  noMemoryForEngine: 3,
  /** The crystal or a PLL does not start, has stopped, or goes at another rate than the ring oscillator tells. */
  clockUnsteady: 4,
} as const;
export const FAULT_SOURCE_STEP = 256;

/**
 * Kinds of error that the runtime tells apart, by their names in JavaScript: `Board.resetDetail` of an `exception` is the
 * place plus 1. Append only, and fewer than `INVARIANT_DETAIL`.
 */
export const ERROR_KINDS = [
  'Error',
  'EvalError',
  'RangeError',
  'ReferenceError',
  'SyntaxError',
  'TypeError',
  'URIError',
  'AggregateError',
] as const;

/** Why the engine gives up, `Board.resetDetail` of an `abort`: its own numbers, which `engine_abort.c` holds against these. */
export const ENGINE_ABORT = {
  notEnoughMemory: 1,
  stackOverflow: 2,
  tooMuchComputation: 7,
  unhandledRejection: 8,
} as const;

/** `Board.resetDetail` of a `request`; 0 for any other. */
export const REQUEST_DETAIL = {
  /** The boot drive had taken an image. */
  bootDrive: 1,
} as const;

/** What must hold in the firmware (`firmware/assert.ts`). Append only. */
export const INVARIANTS = [
  'charged-before-lease',
  'dose-within-caps',
  'dry-below-soaked',
  'stage-of-profile',
  'band-in-order',
  'journal-one-by-one',
  'account-not-negative',
  'probe-of-list',
] as const;
export type Invariant = (typeof INVARIANTS)[number];

/** `Board.resetDetail` of an `exception` by a broken invariant: this plus its place; `ERROR_KINDS` are below. */
export const INVARIANT_DETAIL = 100;

/** What the outputs really do, told by the layer that drives the pins. Bits of `Board.outputs()`. */
export const OUTPUT = {
  matOn: 1,
  pumpOn: 2,
  /** The runtime's limiter holds the mat open because of the root-zone probe. */
  limiterRootZone: 4,
  /** The same, because of the mat probe. */
  limiterMat: 8,
  /** The runtime refuses the pump: its run time of this hour is used up. */
  pumpHourSpent: 16,
  /** Behind a second switch there is a supply: of the mat, of the pump, or of both. */
  loadsLive: 32,
} as const;

/** What `Board.takeMatLook` has: no look, one made while the mat was asked for, or one made as it was let go. */
export const MAT_LOOKED = { not: 0, asAsked: 1, asLetGo: 2 } as const;
export type MatLooked = (typeof MAT_LOOKED)[keyof typeof MAT_LOOKED];

/**
 * What alarm `mat-open` is about: its value. `switch`: the mat's own does not close. `cutOut`: the lead, of a mat that was
 * about as hot as opens its cut-out since it was last whole or the board started. Append only.
 */
export const MAT_OPEN = { fuse: 1, lead: 2, switch: 3, cutOut: 4 } as const;

/** Codes of `fault` entries. Append only. */
export const FAULT = {
  runStateLost: 1,
  linkHandler: 2,
  /** What was told of a probe's curve cannot be read; the detail is its channel. */
  curveLost: 3,
} as const;
