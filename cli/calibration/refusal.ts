/** What a calibration says no with, and how a command ends on it. */
import { refused } from '../failure';

/** A refusal in a grower's words, with a stable word for programs. */
export interface Refusal {
  readonly ok: false;
  readonly reason: string;
  readonly why: string;
  readonly next: string;
}

export const refusal = (reason: string, why: string, next: string): Refusal => ({
  ok: false,
  reason,
  why,
  next,
});

/** What measurements have come to, or why they are not good enough. */
export type Assessment<T> = { readonly ok: true; readonly findings: T } | Refusal;

/** Ends the command, as a refusal, when there is one. */
export function must(found: Refusal | null): void {
  if (found !== null) throw refused(found.reason, found.why, found.next);
}

/** The findings; ends the command, as a refusal, when there are none. */
export function findingsOf<T>(assessment: Assessment<T>): T {
  if (assessment.ok) return assessment.findings;
  throw refused(assessment.reason, assessment.why, assessment.next);
}
