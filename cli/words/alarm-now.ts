/** What can be said of an alarm only by how the tray stands now. */
import { DRYING_LIMITS } from '../../firmware/guard/limits';
import type { AlarmReport, Status } from '../../shared/link/status';
import type { UnitSystem } from '../../shared/units';
import { timeAgo } from '../terminal/local-time';
import { otherFeedText } from './feed';
import { lidText } from './lid';

/** Slower is as good as none, g/h: no number of times it would mean anything. */
const USUAL_LEAST_G_PER_H = 0.05;

/** What is going on while the condition of `report` holds, at `nowMs`, Unix ms; empty where its words say it all. */
export function nowText(
  report: AlarmReport,
  status: Status,
  nowMs: number,
  units: UnitSystem,
): string[] {
  if (report.endedS !== null) return [];
  if (report.alarm === 'feed-unlike') return [otherFeedText(status, units)];
  return report.alarm === 'drying-fast' ? dryingText(report, status, nowMs) : [];
}

/** So many times the usual drying, and since when: the rate was taken over the time before the alarm. */
function dryingText({ value, ageS }: AlarmReport, status: Status, nowMs: number): string[] {
  const { stage, water } = status;
  const usual = water.usualDryingGPerH;
  if (value === null || usual === null || usual < USUAL_LEAST_G_PER_H || stage === null) return [];
  const times = Number((value / usual).toPrecision(2));
  const since = timeAgo(ageS + DRYING_LIMITS.spanMs / 1000, nowMs);
  return [
    `drying ${times} times faster than usual with the lid ${lidText(stage.lid)}, since ${since}`,
  ];
}
