/** First part of a tick: reads every sensor once and works out what the weight means. */
import { PROBE_CHANNEL } from '../../shared/board/map';
import { dryBackShare } from '../../shared/physics/dry-back';
import { effectiveG, isHandled, nextWeight } from '../control/weight';
import type { Tray } from '../tray/tray';

/** A rise up to this many times the planned dose is the dose's, not a hand's; 1 ml counts as 1 g. */
const DOSE_RISE_MAX = 3;

/** Reads both probes, the scale and the outputs, `dtMs` after the last time. */
export function sense(tray: Tray, dtMs: number): void {
  const { board, rootZone, mat, scale, uptimeMs } = tray;
  rootZone.take(board.readProbe(PROBE_CHANNEL.rootZone), uptimeMs, dtMs);
  mat.take(board.readProbe(PROBE_CHANNEL.mat), uptimeMs, dtMs);
  scale.take(board.readScale(), uptimeMs, dtMs, rootZone.celsius);
  tray.outputs = board.outputs();
  weigh(tray);
}

function weigh(tray: Tray): void {
  const { scale, water, run } = tray;
  const before = tray.weight;
  const dosing =
    water.phase === 'dosing' || water.phase === 'soaking-in' || water.phase === 'proving';
  const next = nextWeight(before, {
    uptimeMs: tray.uptimeMs,
    grams: scale.grams,
    stable: scale.stable,
    expectedRiseG: dosing ? water.plannedMl * DOSE_RISE_MAX : 0,
  });
  tray.weight = next;
  if (isHandled(next) !== isHandled(before)) {
    const over = isHandled(before);
    tray.write({ kind: 'handling', over, beforeG: next.beforeG, afterG: scale.grams });
    if (over) tray.stale = true;
  }
  tray.trayG = effectiveG(next, scale.grams);
  const known = !Number.isNaN(run.capacityG) && !Number.isNaN(run.dryG);
  tray.dryBackShare = known ? dryBackShare(tray.trayG, run) : Number.NaN;
}
