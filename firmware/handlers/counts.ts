/** What the grower counted: it goes to the journal with its time, and changes nothing else. */
import type { Params, Result } from '../../shared/link/methods';
import { refuse } from '../link/refusal';
import type { Ticker } from '../tick/ticker';

/** Writes down that `standing` of `of` have come up. Refuses `not-sown`, and more than were sown. */
export function countWrite(
  { tray }: Ticker,
  { standing, of }: Params<'count.write'>,
): Result<'count.write'> {
  if (!tray.sown) refuse('not-sown');
  if (standing > of) refuse('bad-parameter', 'standing');
  tray.write({ kind: 'count', stage: tray.run.progress.stage, standing, of });
  return { standing, of };
}
