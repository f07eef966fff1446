/** Quantities and plain numbers from the command line, in the program's own unit. */
import { parseQuantity, type QuantityKind } from '../../shared/units';
import { usage } from '../failure';

/** A quantity with its unit, as a number in the program's own. Throws a usage error that ends with `next`. */
export function quantityOf(kind: QuantityKind, text: string, next: string): number {
  const parsed = parseQuantity(kind, text);
  if (parsed.ok) return parsed.value;
  throw usage(parsed.why, next, 'not-a-quantity');
}

/** A number as people write it, without sign or exponent; NaN for anything else. */
export function plainNumber(text: string): number {
  return /^\d+(\.\d+)?$/.test(text) ? Number(text) : Number.NaN;
}
