/** `feed ec|mix|dilute|stock|ladder`: the strength of a feed, and how to make it. */
import type { Command } from 'commander';
import type { Act } from '../context';
import { addEc } from '../feed/ec';
import { addLadder } from '../feed/ladder';
import { addDilute, addMix } from '../feed/mix';
import { addStock } from '../feed/stock';

/** Gives its noun verbs. */
export function register(noun: Command, act: Act): void {
  addEc(noun, act);
  addMix(noun, act);
  addDilute(noun, act);
  addStock(noun, act);
  addLadder(noun, act);
}
