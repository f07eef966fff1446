/** What a step of `board check` came to. */

/** In the order in which they are done. */
export const STEP_NAMES = [
  'controller',
  'doors',
  'flash',
  'probes',
  'hand',
  'scale',
  'pump',
  'mat',
  // A probe that was in ice is in doubt for a while, and the mat does not heat then.
  'ice',
  'signals',
] as const;
export type StepName = (typeof STEP_NAMES)[number];

/** `untried`: what it needs is not there, or nobody to look. */
export type Verdict = 'good' | 'wrong' | 'untried';

export interface Finding {
  readonly step: StepName;
  readonly verdict: Verdict;
  /** What was seen: a sentence. */
  readonly says: string;
  /** What to do: a sentence; null where there is nothing to do. */
  readonly next: string | null;
}

export const good = (step: StepName, says: string): Finding => ({
  step,
  verdict: 'good',
  says,
  next: null,
});
export const wrong = (step: StepName, says: string, next: string): Finding => ({
  step,
  verdict: 'wrong',
  says,
  next,
});
export const untried = (step: StepName, says: string, next: string): Finding => ({
  step,
  verdict: 'untried',
  says,
  next,
});

/** Every step of it that was tried is good. */
export const isGood = (findings: readonly Finding[]): boolean =>
  findings.every(({ verdict }) => verdict !== 'wrong');
