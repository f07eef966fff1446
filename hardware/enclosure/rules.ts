/** Every rule that the list of holes must keep before anybody drills, in the order in which a reader would ask. */
import type { Circuit } from '../circuit/kinds';
import { dripEdge, holeFits, holeForEach, seenAndHeard } from './hole-rules';
import { sealedLeads } from './lead-rules';
import type { EnclosurePlan, EnclosureRule } from './plan';
import { holesApart, roomInside } from './room-rules';

export const ENCLOSURE_RULES: readonly EnclosureRule[] = [
  holeForEach,
  holeFits,
  holesApart,
  roomInside,
  dripEdge,
  seenAndHeard,
  sealedLeads,
];

/** Every breach of the rules, with the rule's name before it; empty when the holes may be drilled. */
export const enclosureFaults = (plan: EnclosurePlan, circuit: Circuit): string[] =>
  ENCLOSURE_RULES.flatMap((rule) => rule.check(plan, circuit).map((why) => `${rule.id}: ${why}`));
