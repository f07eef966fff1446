/** The days of a batch: sowing, emergence, ready; from one of them and from what has happened. Pure. */
import { accept, decline, type Verdict } from '../physics/verdict';
import { type Day, dayText } from './calendar-day';
import { PLAN_LIMITS } from './limits';
import type { Pace } from './pace';
import type { Aim, Happened } from './request';

/** A day that is not sure: all sources together, and the one that is planned with. */
export interface DayRange {
  readonly earliest: Day;
  readonly planned: Day;
  readonly latest: Day;
}

export interface BatchDates {
  readonly sow: DayRange;
  /** Half of the seed is up; of cuttings: first roots. */
  readonly emerged: DayRange;
  /** Ready to be transplanted. */
  readonly ready: DayRange;
}

const sure = (day: Day): DayRange => ({ earliest: day, planned: day, latest: day });

/** So many days after `from`; what was sure gets the spread of the pace, and no day comes before the one it follows. */
function after(from: DayRange, pace: Pace): DayRange {
  const planned = from.planned + Math.round(pace.planned);
  return {
    earliest: from.earliest + Math.floor(pace.low),
    planned,
    latest: Math.max(planned, from.latest + Math.ceil(pace.high)),
  };
}

/** Why nobody plans for that day yet, seen from `today`; null where it may be planned for, or is under way. */
export function tooFarAhead({ day }: Aim, { sown }: Happened, today: Day): string | null {
  if (sown !== null || day <= today + PLAN_LIMITS.aheadMostDays) return null;
  return `${dayText(day)} is more than two years ahead.`;
}

/** All days of a batch. Refuses, seen from the day it is planned on, what would have had to be sown before. */
export function batchDates(
  aim: Aim,
  happened: Happened,
  first: Pace,
  later: Pace,
  today: Day,
): Verdict<BatchDates> {
  const sow =
    happened.sown === null ? sowing(aim, first, later, today) : accept(sure(happened.sown));
  if (!sow.ok) return sow;
  // The days of the sources are spread once: a sowing date that itself is a range is planned from its middle.
  const emerged =
    happened.emerged === null ? after(sure(sow.value.planned), first) : sure(happened.emerged);
  const ready =
    happened.transplanted === null ? after(emerged, later) : sure(happened.transplanted);
  return accept({ sow: sow.value, emerged, ready });
}

function sowing(aim: Aim, first: Pace, later: Pace, today: Day): Verdict<DayRange> {
  const planned = Math.round(first.planned) + Math.round(later.planned);
  if (aim.by === 'sow') {
    if (aim.day >= today) return accept(sure(aim.day));
    return decline(`${dayText(aim.day)} is past: today is ${dayText(today)}.`);
  }
  const latest = aim.day - Math.floor(first.low + later.low);
  if (latest < today) {
    return decline(
      `To be ready on ${dayText(aim.day)} it had to be sown on ${dayText(aim.day - planned)}, and by the quickest source on ${dayText(latest)}; today is ${dayText(today)}. Sown today it is ready about ${dayText(today + planned)}.`,
    );
  }
  return accept({
    earliest: Math.max(today, aim.day - Math.ceil(first.high + later.high)),
    // Late, and still to be done: then at once.
    planned: Math.max(today, aim.day - planned),
    latest,
  });
}

/** Why something cannot have come of a batch that is sown on `sowDay` by its plan, and has not been marked sown; else null. */
export function notYetSown(
  { sown, emerged, counted, transplanted }: Happened,
  sowDay: Day,
): string | null {
  const days = [emerged, counted?.day ?? null, transplanted].filter((day) => day !== null);
  const first = Math.min(...days);
  if (sown !== null || first > sowDay) return null;
  return `By the plan it is sown on ${dayText(sowDay)}: nothing can have come of it on ${dayText(first)}.`;
}

/** Why these days cannot be what happened, seen from `today`; null where they can. */
export function wrongOrder(
  { sown, emerged, counted, transplanted }: Happened,
  today: Day,
): string | null {
  const steps = [
    ['sown', sown],
    ['emerged', emerged],
    ['counted', counted?.day ?? null],
    ['transplanted', transplanted],
  ] as const;
  let before: { word: string; day: Day } | null = null;
  for (const [word, day] of steps) {
    if (day === null) continue;
    if (day > today) {
      return `${dayText(day)} is still to come (today is ${dayText(today)}): nothing is marked ${word} before it is.`;
    }
    // Nothing comes up, or is moved, on the day it is sown.
    if (before !== null && day < before.day + (before.word === 'sown' ? 1 : 0)) {
      return `It cannot be ${word} on ${dayText(day)}, ${day < before.day ? 'before' : 'when'} it was ${before.word} on ${dayText(before.day)}.`;
    }
    before = { word, day };
  }
  return null;
}
