/** What to do about an incident now: the advice of its alarms, in the words they have everywhere. Pure. */
import { ADVICE, nextSteps } from '../../shared/alarms/advice';
import { ALARMS, type AlarmName } from '../../shared/alarms/catalogue';
import { overlaps } from './alarm-spans';
import { CAUSES } from './causes';
import type { Stand } from './stand';
import type { Incident } from './story';

/** In order; empty when it is over and nothing stands. */
export function stepsFor({ spans }: Stand, incident: Incident): readonly string[] {
  const [cause] = incident.causes;
  const words = cause === undefined ? null : CAUSES[cause.cause];
  const standing = spans
    .filter(
      (span) => span.standing && incident.alarms.includes(span.alarm) && overlaps(span, incident),
    )
    .map(({ alarm }) => alarm);
  if (!incident.open && standing.length === 0) return words?.after ?? [];
  const steps = words?.steps ?? standing[0] ?? incident.alarms[0] ?? null;
  const next = words?.own ?? (steps === null ? [] : ADVICE[steps].next);
  const soak = incident.findings.some(({ kind, open }) => kind === 'dry' && open) ? SOAK : [];
  // What has steps of its own has others when it is over.
  const after = words?.steps === null ? (words.after ?? []) : [];
  return [...after, ...next, ...soak, ...[...new Set(standing)].flatMap(mended)];
}

/** Doses are for wool that is wet: what has gone dry takes water again in a tub only. */
const SOAK = ['Soak the tray again, let it drain, then `trayward mark soaked`.'];

/** The last of its steps: how one that latched is ended. */
function mended(alarm: AlarmName): readonly string[] {
  return ALARMS[alarm].latched ? nextSteps(alarm).slice(-1) : [];
}
