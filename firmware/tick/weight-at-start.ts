/** What a start knows of the weight: what is kept of it, and since when nobody has weighed the tray. */
import type { AlarmName } from '../../shared/alarms/catalogue';
import { keptLedger } from '../control/ledger-rows';
import { NOT_SINCE_CUT, type Weighing } from '../control/weighing';
import type { WeightState } from '../control/weight';
import { weightBefore } from '../control/weight-kept';
import type { Tray } from '../tray/tray';

/** They hold while the scale cannot say what it weighs. */
const SILENT = ['scale-silent', 'scale-saturated'] as const satisfies readonly AlarmName[];

/** For how long the scale had been silent as the board stopped, by its alarm, ms; 0 where it had weighed until then. */
function silentBeforeMs({ alarms, uptimeMs }: Tray): number {
  const silent = SILENT.find((name) => alarms.stoodBefore(name, uptimeMs));
  return silent === undefined ? 0 : Math.max(0, -alarms.record(silent).raisedMs);
}

/** The weight of a tray as this start finds it. */
export function weightAtStart(tray: Tray): WeightState {
  const known = tray.run.weights;
  const ledger = keptLedger(known, tray.runAtZeroMs);
  const isUnknown = known.unweighedStarts === Number.POSITIVE_INFINITY;
  const weighing: Weighing = isUnknown
    ? NOT_SINCE_CUT
    : { is: 'not-since-start', silentMs: silentBeforeMs(tray) };
  const { settledG, hidesG, hidesAtRunMs } = known;
  const hidden = hidesG > 0 ? { mostG: hidesG, atMs: hidesAtRunMs - tray.runAtZeroMs } : null;
  return weightBefore({ ledger, settledG, hidden }, weighing);
}
