/** The answer of a calculation that can decline: a value, or one sentence a grower can act on. */
export type Verdict<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly why: string };

/** A value. */
export function accept<T>(value: T): Verdict<T> {
  return { ok: true, value };
}

/** No value, and why: a sentence that says what to do. */
export function decline(why: string): { readonly ok: false; readonly why: string } {
  return { ok: false, why };
}
