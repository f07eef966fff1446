/** The plan that is drilled from, and what a rule over it is. */
import type { Circuit } from '../circuit/kinds';
import { LEADS, type Lead } from '../circuit/leads';
import { BUILDS, type Build } from './builds';
import { OPENINGS, type Opening, openingsFor } from './openings';
import { SHAPE, type Shape } from './shape';

/** All that is drilled, what stands inside, and what leaves. */
export interface EnclosurePlan {
  readonly shape: Shape;
  readonly openings: readonly Opening[];
  readonly builds: readonly Build[];
  readonly leads: readonly Lead[];
}

export const ENCLOSURE: EnclosurePlan = {
  shape: SHAPE,
  openings: OPENINGS,
  builds: BUILDS,
  leads: LEADS,
};

export interface EnclosureRule {
  readonly id: string;
  readonly statement: string;
  readonly source: string;
  /** One sentence for each breach. */
  check(plan: EnclosurePlan, circuit: Circuit): readonly string[];
}

export const pairs = <T>(list: readonly T[]): (readonly [T, T])[] =>
  list.flatMap((a, i) => list.slice(i + 1).map((b) => [a, b] as const));

/** The holes of a board's standoffs, through the back. */
export const standoffsOf = ({ boards, name: build }: Build): Opening[] =>
  boards.flatMap(({ standoffs, name }) =>
    standoffs.map(({ x, y }) => ({
      mark: '',
      face: 'back' as const,
      across: x,
      up: y,
      fit: 'standoff' as const,
      part: null,
      words: `standoff of the ${name}`,
      build,
    })),
  );

/** Every hole of a build. */
const allHoles = (plan: EnclosurePlan, build: Build): Opening[] => [
  ...openingsFor(plan.openings, build.name),
  ...standoffsOf(build),
];

/** What is found in any of the builds, once. */
export const inEachBuild = (
  plan: EnclosurePlan,
  check: (build: Build, holes: readonly Opening[]) => readonly string[],
): string[] => [...new Set(plan.builds.flatMap((build) => check(build, allHoles(plan, build))))];
