/** Stages by the grower's word. */
import type { Params, Result } from '../../shared/link/methods';
import { refuse } from '../link/refusal';
import type { Ticker } from '../tick/ticker';

/** Goes on to the next stage. Refuses `not-sown` and `last-stage`. */
export function stageNext({ tray, staging }: Ticker): Result<'stage.next'> {
  if (tray.profile === null || !tray.sown) refuse('not-sown');
  if (!staging.next()) refuse('last-stage');
  return { stage: staging.progress.stage };
}

/** Keeps run time from ending the stage, or lets it again. Refuses `not-sown`. */
export function stageStay(
  { tray, staging }: Ticker,
  { stay }: Params<'stage.stay'>,
): Result<'stage.stay'> {
  if (!tray.sown) refuse('not-sown');
  staging.stay(stay);
  return { staying: stay };
}
