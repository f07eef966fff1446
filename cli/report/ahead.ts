/** What the days ahead want of the grower, as `away` reckons it from the journal alone. Pure but for the zone of time. */
import { DAY_MS } from '../../shared/units/time';
import { answerOf } from '../away/answer';
import { spanText } from '../away/due';
import type { Limit } from '../away/model';
import { dayTime, unixOf } from '../explain/show';
import type { Stand } from '../explain/stand';
import { forecastOf } from '../forecast/forecast';
import { capitalised } from '../words/capitalised';
import type { Asked } from './asked';

const DAY_H = 24;
/** Whoever leaves is gone for a weekend at least: what comes later is planned, and no reason to look first. */
const DUE_DAYS = 3;

export interface DaysAhead {
  readonly isSown: boolean;
  /** What is due within days, the first first. */
  readonly due: readonly string[];
}

export function aheadOf(stand: Stand, { toMs, units }: Asked): DaysAhead {
  const found = forecastOf(stand, toMs, null);
  if (!found.ok) {
    const isSown = found.why !== 'not-sown';
    return {
      isSown,
      due: [
        isSown
          ? 'What is due next the journal does not let anybody reckon: `trayward status` tells what is missing.'
          : 'The tray is not sown: nothing depends on it yet.',
      ],
    };
  }
  const unixMs = unixOf(stand.record, toMs);
  const asked = { askedH: DUE_DAYS * DAY_H, nowMs: toMs, nowUnixMs: unixMs ?? 0, units };
  const { limits } = answerOf(stand, found.forecast, [], asked);
  const due = limits.filter((limit) => limit.inH <= DUE_DAYS * DAY_H && !isTold(limit));
  return {
    isSown: true,
    due: due.map((limit) => `${capitalised(whenText(limit, unixMs !== null))}: ${limit.says}.`),
  };
}

/** The reservoir has a line of its own; a cold night and wool that is dry already are incidents. */
const isTold = ({ by, kind, inH }: Limit): boolean =>
  kind === 'reservoir' || kind === 'cold' || (by === 'tray' && inH < 1);

/** A page is read on another day: a date, and no word such as tomorrow; no date where no clock was set. */
function whenText({ inH, unixMs }: Limit, isDated: boolean): string {
  if (inH === 0) return 'due now';
  if (!isDated) return `in ${spanText(inH)}`;
  return `on ${dayTime(unixMs, unixMs + 3 * DAY_MS).replace(/ \d\d:\d\d$/, '')}`;
}
