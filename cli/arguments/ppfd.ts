/** Light for plants, as every command that asks for it reads it. */
import { LIGHT_LIMITS } from '../../shared/physics/light';
import type { Reader } from './options';
import { within } from './within';

/** Light at the leaves, umol/m2/s, or null. `leastUmol`: less is none, or no lamp is so weak. */
export const ppfd = (leastUmol: number, next: string): Reader<number | null> =>
  within('ppfd', leastUmol, LIGHT_LIMITS.ppfdMostUmol, 'Full sun has 2000.', next);

/** Light of a day, mol/m2, or null. */
export const lightSum = (next: string): Reader<number | null> =>
  within('light-sum', 0.1, LIGHT_LIMITS.sumMostMol, 'A clear day in summer has 60.', next);
