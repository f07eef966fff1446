/** Hands at the tray, and what they explain. Pure. */
import { HANDS_LIMITS as LIMITS } from '../limits';
import type { Readings } from '../sensing/readings';

/** Hands were at the tray lately, at `handsMs` of uptime: what a probe does so soon afterwards is theirs. */
export function areNear(handsMs: number, uptimeMs: number): boolean {
  return uptimeMs - handsMs < LIMITS.handsMs;
}

/**
 * A hand has spoiled the last dose, which had come or not, and may not be done: it opens a lid and closes it again minutes
 * later. The next dose waits until it is, or one visit spoils two, and water ends for want of proof; or it comes amid what the
 * hand puts on and takes off, and nobody can tell the one from the other.
 */
export function mayComeAgain(hasSpoiled: boolean, handsMs: number, uptimeMs: number): boolean {
  return hasSpoiled && areNear(handsMs, uptimeMs);
}

/**
 * A hand was here lately, and the tray gained `gainedG` in the two minutes since, more than any dries: water runs out of it,
 * or into the wool. What it holds is known when that is over. NaN, within those two minutes, is not known either.
 */
export function leaveItRunning(gainedG: number, handsMs: number, uptimeMs: number): boolean {
  return areNear(handsMs, uptimeMs) && !(Math.abs(gainedG) <= LIMITS.stillG);
}

/** A tray that is away has taken its probe with it, and a jump while hands are near is none. */
export function haveMovedProbe(
  { away, rootZone }: Pick<Readings, 'away' | 'rootZone'>,
  handsNear: boolean,
): boolean {
  return away || (handsNear && rootZone.state === 'jumped');
}

/** Hands that say so now explain a jump of the probe that was told lately. */
export function explainJump(
  { standing, raisedMs }: { readonly standing: boolean; readonly raisedMs: number },
  uptimeMs: number,
): boolean {
  return standing && uptimeMs - raisedMs <= LIMITS.handsMs;
}

/** Nobody is at the tray, it stands where it belongs, and the scale can be believed: only water moves the weight. */
export function leaveAlone({
  scale,
  handled,
  away,
  trayG,
}: Pick<Readings, 'scale' | 'handled' | 'away' | 'trayG'>): boolean {
  return scale.state === 'ok' && !handled && !away && !Number.isNaN(trayG);
}
