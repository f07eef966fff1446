/** A rule the circuit must keep, and how a breach is told. */
import type { Circuit } from '../circuit/kinds';

/** One breach: where, and what is wrong there. */
export interface Finding {
  /** Reference of the part or wire at fault. */
  readonly part: string;
  readonly net: string;
  /** What is so, what it should be. A clause that can follow a colon. */
  readonly why: string;
}

export interface Rule {
  /** Stable name. */
  readonly id: string;
  /** The rule as a sentence. */
  readonly statement: string;
  /** Standard, data sheet or practice it comes from. */
  readonly source: string;
  check(circuit: Circuit): readonly Finding[];
}

export interface Breach extends Finding {
  readonly rule: string;
  /** The whole sentence, with part, net and rule. */
  readonly sentence: string;
}

/** Every breach of `rules` in `circuit`; empty when it may be built. */
export function breaches(circuit: Circuit, rules: readonly Rule[]): Breach[] {
  return rules.flatMap((rule) =>
    rule.check(circuit).map((finding) => ({
      ...finding,
      rule: rule.id,
      sentence: `${finding.part} on net ${finding.net}: ${finding.why} Rule ${rule.id}: ${rule.statement} (${rule.source})`,
    })),
  );
}
