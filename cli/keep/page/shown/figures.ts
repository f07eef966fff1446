/** What the journal of a tray adds to its line: the days ahead, and the plot of its last one. Pure but for the zone of time. */
import { answerOf } from '../../../away/answer';
import type { Away } from '../../../away/model';
import { obstaclesOf } from '../../../away/obstacles';
import { recordOf } from '../../../explain/record';
import { unixOf } from '../../../explain/show';
import { type Stand, standOf } from '../../../explain/stand';
import { withSoundTimes } from '../../../explain/time-line';
import { forecastOf } from '../../../forecast/forecast';
import type { NoPlace } from '../../../forecast/place';
import { dateEntries } from '../../../journal/dating';
import type { Plot } from '../../../report/plot/model';
import { plotOf } from '../../../report/plot/of-stand';
import type { Kept } from '../../tray/detail';
import { PAGE_LIMITS } from '../limits';

/** The days ahead; or why nothing can be told of them. */
export type Ahead =
  | { readonly ok: true; readonly away: Away }
  | { readonly ok: false; readonly why: NoPlace };

export interface Figures {
  readonly ahead: Ahead;
  /** Of the last day of the journal; null where it has no reading in it. */
  readonly plot: Plot | null;
}

/** The time zone of this computer, minutes east of UTC. */
export const offsetMinAt = (unixMs: number): number => -new Date(unixMs).getTimezoneOffset();

/** Heavy: some tens of milliseconds a tray. */
export function figuresOf(kept: Kept): Figures {
  const { life, profiles, status, units, nowMs } = kept;
  const dated = withSoundTimes(dateEntries(life.entries, life.life));
  const stand = standOf(recordOf(dated, profiles));
  const { record } = stand;
  const found = forecastOf(stand, record.toMs, status);
  const endMs = unixOf(record, record.toMs);
  const sinceEndMs = endMs === null ? 0 : Math.max(0, nowMs - endMs);
  return {
    ahead: found.ok
      ? {
          ok: true,
          away: answerOf(stand, found.forecast, obstaclesOf(stand, status), {
            ...{ askedH: 1, nowMs: record.toMs + sinceEndMs, nowUnixMs: nowMs, units },
          }),
        }
      : { ok: false, why: found.why },
    plot: dayPlot(stand, kept),
  };
}

function dayPlot(stand: Stand, { units, nowMs }: Kept): Plot | null {
  const { fromMs, toMs, readings } = stand.record;
  const sinceMs = Math.max(fromMs, toMs - PAGE_LIMITS.plotMs);
  if (!(sinceMs < toMs) || !readings.some(({ atMs }) => atMs >= sinceMs)) return null;
  const frame = { fromMs: sinceMs, toMs, units, offsetMin: offsetMinAt(nowMs), headline: () => '' };
  return plotOf(stand, [], frame);
}
