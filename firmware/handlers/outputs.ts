/** Mat and sounder by the grower's hand: for a board that is being tried, before anything is sown. */
import type { Params, Result } from '../../shared/link/methods';
import { refuse } from '../link/refusal';
import type { Ticker } from '../tick/ticker';

/** Heats for `ms`, or ends that. Refuses `crop-stands`, and `mat-held-by-alarm` where no heat is safe. */
export function matRun(
  { tray, heating, senses }: Ticker,
  { ms }: Params<'mat.run'>,
): Result<'mat.run'> {
  if (ms === 0) {
    heating.byHand(0);
    return { uptimeMs: tray.uptimeMs };
  }
  if (tray.stage !== null) refuse('crop-stands');
  const held = tray.alarms.matHeldBy;
  if (held !== null) refuse('mat-held-by-alarm', held);
  // Whoever tries the mat had its probes in hand a moment ago.
  if (!heating.isByHand) {
    senses.rootZone.restartJudging();
    senses.mat.restartJudging();
  }
  heating.byHand(ms);
  return { uptimeMs: tray.uptimeMs };
}

/** Sounds for `ms`. */
export function sounderRun(ticker: Ticker, { ms }: Params<'sounder.run'>): Result<'sounder.run'> {
  ticker.sound(ms);
  return { uptimeMs: ticker.tray.uptimeMs };
}
