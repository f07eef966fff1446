/**
 * The weight ledger: every step of the weight that no dose explains, kept apart until something explains
 * it - its opposite, a mark, what is possible, or its own behaviour. Nothing is folded into one number
 * that cannot be taken apart again. Pure.
 */
import { WEIGHT_LIMITS as LIMITS } from '../limits';

/**
 * What a step is taken for. `off`, `on`: a thing taken off (a lid) or put on. `tray`: the tray itself was
 * taken off. `water`: poured on by hand - until it is taken off again in one piece, as water never is; or, less than
 * nothing, what a flooded tray lost in one piece. `gone`: a thing that went while nobody weighed the tray, or stands there
 * still, and the tray has dried by as much. The order is on flash: append only.
 */
export const STEP_KINDS = ['off', 'on', 'tray', 'water', 'gone'] as const;
export type StepKind = (typeof STEP_KINDS)[number];

export interface Step {
  readonly kind: StepKind;
  /** Change of the weight, g. */
  readonly stepG: number;
  /**
   * Weight as read when it was over, g, without what has gone since; NaN when that was before this start, or it is off again with
   * what it had come with.
   */
  readonly afterG: number;
  /** Uptime then, ms. */
  readonly atMs: number;
  /** It came gently, or ran off, as no thing does; or was known before a start of the board for water that was no thing. */
  readonly flowed?: true;
  /** It came at once, and passes for water as some of it ran off: what stands there for long may be a thing that came with it. */
  readonly ranOff?: true;
  /** It was found after a time in which nobody weighed the tray, or as it came back; absent where it came before eyes. */
  readonly found?: Found;
  /** What was taken off before and came back with it, as it seemed, g: it may go again with that; absent where nothing did. */
  readonly paidG?: number;
}

/**
 * By how much a thing that was found may weigh more, or less, than it seemed, g: by what the tray lost meanwhile beyond what
 * was reckoned, or did not lose of that.
 */
export interface Found {
  readonly moreG: number;
  readonly lessG: number;
}
/** Nobody knows for how long the tray dried before it was found. */
export const FOUND_ANYHOW: Found = { moreG: Number.POSITIVE_INFINITY, lessG: 0 };

/** Open steps, the oldest first. */
export type Ledger = readonly Step[];
export const EMPTY_LEDGER: Ledger = [];

/** What the wool can hold, g as the scale reads it with nothing else on it; NaN while unknown. */
export interface Possible {
  readonly capacityG: number;
  readonly dryG: number;
  /** What of both the plants may weigh at most, g. */
  readonly plantsG: number;
}

/** What several steps came to together, g. */
export const sumG = (steps: Ledger): number => steps.reduce((sum, { stepG }) => sum + stepG, 0);

/** The ledger but for `steps` of it. */
export const without = (ledger: Ledger, steps: Ledger): Ledger =>
  ledger.filter((step) => !steps.includes(step));

/**
 * The ledger once `steps` of it went, or came back, or of each `instead` is left. What the scale said after each later one it
 * said with them: without them it would have said so much less.
 */
export function departed(
  ledger: Ledger,
  steps: Ledger,
  instead: (step: Step) => Ledger = () => EMPTY_LEDGER,
): Ledger {
  let goneG = 0;
  return ledger.flatMap((step): Ledger => {
    if (!steps.includes(step))
      return [goneG === 0 ? step : { ...step, afterG: step.afterG - goneG }];
    const left = instead(step);
    goneG += step.stepG - sumG(left);
    return left;
  });
}

/** What is on the scale, or missing from it, without being the tray and its water, g. */
export function foreignG(ledger: Ledger): number {
  let sum = 0;
  for (const { kind, stepG } of ledger) if (kind !== 'water' && kind !== 'gone') sum += stepG;
  return sum;
}

/** Things that may have gone unseen, or stand there still. */
export const mayHaveGone = (ledger: Ledger): Ledger => ledger.filter(({ kind }) => kind === 'gone');

/** Largest thing that stands on the tray, or may, g; 0 when there is none. */
export function mayStandG(ledger: Ledger): number {
  return mayHaveGone(ledger).reduce((most, { stepG }) => Math.max(most, stepG), thingOnG(ledger));
}

/** The ledger with `steps` of it taken for things of another kind: none of those flows. */
export const takenFor = (ledger: Ledger, steps: Ledger, kind: StepKind): Ledger =>
  ledger.map((step) => {
    if (!steps.includes(step)) return step;
    const { flowed, ranOff, ...was } = step;
    return { ...was, kind };
  });

/** The tray itself stands somewhere else. */
export function isTrayAway(ledger: Ledger): boolean {
  return ledger.some(({ kind }) => kind === 'tray');
}

/** Largest thing that stands on the tray, g; 0 when none does. */
export function thingOnG(ledger: Ledger): number {
  return ledger.reduce(
    (most, { kind, stepG }) => (kind === 'on' ? Math.max(most, stepG) : most),
    0,
  );
}

/** By how much a thing of `sizeG` may seem another, g. */
export const matchG = (sizeG: number): number => Math.max(LIMITS.matchG, LIMITS.matchShare * sizeG);

/** It came, and passes for water. */
export const hasPoured = ({ kind, stepG }: Step): boolean => kind === 'water' && stepG > 0;

/** What was poured on by hand, g. */
export const pouredG = (ledger: Ledger): number => sumG(ledger.filter(hasPoured));

/** More than this cannot be tray and water: the wool holds no more for long. NaN while unknown. */
export function mostG({ capacityG, dryG }: Possible): number {
  return capacityG + LIMITS.overfillShare * (capacityG - dryG);
}

/** A step of the weight that no dose explains. */
export interface Change {
  readonly stepG: number;
  /** Weight as read at its end, g; and the tray with its water before it. */
  readonly afterG: number;
  readonly waterG: number;
  readonly uptimeMs: number;
  /** For how long nobody had weighed the tray when it was found, ms; infinite after a power cut. */
  readonly unseenMs: number;
  /** What it lost just before that, or loses just after it, by drying or not, g/ms. */
  readonly losesGPerMs: number;
  /** By how much it was reckoned to have dried meanwhile, g: that is no part of the step. */
  readonly reckonedG: number;
  /** For how long the hand was there that did it, ms. */
  readonly handMs: number;
  /** Most that the tray lost, g, as nobody weighed it lately, and a thing that came then may hide; 0 where none may. */
  readonly hidesG: number;
  /** It was found so after a power cut, and the mat is too cold to have had the tray on it all the while. */
  readonly isMatBare: boolean;
}

/** Water that ran in, more than the wool holds or not: no thing comes so gently. Where the tray is away it is none of its own. */
export function flowedIn(ledger: Ledger, stepG: number, afterG: number, atMs: number): Ledger {
  const kind = isTrayAway(ledger) ? 'on' : 'water';
  return bounded([...ledger, { kind, stepG, afterG, atMs, flowed: true }]);
}

/** No longer than it may be: water is forgotten first, then what may have gone, then the two oldest things become one. */
export function bounded(ledger: Ledger): Ledger {
  // Where another thing stands in the place of a tray that went, there are two steps more.
  return ledger.length <= LIMITS.ledgerMax ? ledger : bounded(withOneLess(ledger));
}

function withOneLess(ledger: Ledger): Ledger {
  for (const forgotten of ['water', 'gone'] as const) {
    const at = ledger.findIndex(({ kind }) => kind === forgotten);
    if (at >= 0) return ledger.filter((_, i) => i !== at);
  }
  const [first, second, ...rest] = ledger;
  if (first === undefined || second === undefined) return ledger;
  const stepG = first.stepG + second.stepG;
  const isTray = first.kind === 'tray' || second.kind === 'tray';
  return [{ ...second, stepG, kind: isTray ? 'tray' : stepG < 0 ? 'off' : 'on' }, ...rest];
}

/** The same steps read by another calibration: all masses times `factor`. */
export function rescaled(ledger: Ledger, factor: number): Ledger {
  return ledger.map(({ found, paidG, ...step }) => ({
    ...step,
    stepG: step.stepG * factor,
    afterG: step.afterG * factor,
    ...(paidG !== undefined && { paidG: paidG * factor }),
    ...(found && { found: { moreG: found.moreG * factor, lessG: found.lessG * factor } }),
  }));
}
