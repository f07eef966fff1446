/** Every mistake that the rules must find. */
import { breaches } from '../checks/rule';
import { RULES } from '../checks/rules';
import type { Mutation } from './change';
import { FEED } from './feed';
import { NETLIST } from './netlist';
import { POWER } from './power';
import { VALUES } from './values';

export const MUTATIONS: readonly Mutation[] = [...NETLIST, ...POWER, ...VALUES, ...FEED];

/** Those that no rule finds. */
export const missed = (): readonly Mutation[] =>
  MUTATIONS.filter(({ circuit }) => breaches(circuit, RULES).length === 0);
