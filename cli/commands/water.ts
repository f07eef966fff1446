/** `water acid|soak|test`: the water before it meets a plant. */
import type { Command } from 'commander';
import type { Act } from '../context';
import { addAcid } from '../water/acid';
import { addSoak } from '../water/soak';
import { addTest } from '../water/test';

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  addAcid(noun, act);
  addSoak(noun, act);
  addTest(noun, act);
}
