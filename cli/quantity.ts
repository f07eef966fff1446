/** Quantities from options, in the program's own unit. */
import { parseQuantity, type QuantityKind } from '../shared/units';
import type { Flags } from './context';
import { usage } from './failure';

/** Value of an option such as `--weight 2kg`, or null when it was not given. Throws usage errors. */
export function quantityFlag(flags: Flags, name: string, kind: QuantityKind): number | null {
  const text = flags.text(name);
  if (text === null) return null;
  const parsed = parseQuantity(kind, text);
  if (parsed.ok) return parsed.value;
  throw usage(`--${name}: ${parsed.why}`, 'See the command with --help.', 'not-a-quantity');
}
