/** What is to be done on which day of a batch. Pure. */
import type { Crop } from '../crops/library/crop';
import type { Day } from './calendar-day';
import type { BatchDates } from './dates';
import { lidDays } from './lid';
import { STEPS } from './limits';
import type { Happened } from './request';
import { firstFeedDay, type StageSpan } from './stages';
import type { Stand } from './stand';

/** Every task there is: its name is for ever, for calendars know it by that. */
export const TASK_KINDS = [
  'clean',
  'calibrate',
  'soak',
  'sow',
  'air',
  'look',
  'emerged',
  'prop-lid',
  'count',
  'sow-more',
  'first-feed',
  'count-again',
  'feed-change',
  'wash',
  'lid-by-day',
  'harden',
  'transplant',
  'rewater',
] as const;
export type TaskKind = (typeof TASK_KINDS)[number];

export interface Task {
  readonly kind: TaskKind;
  readonly day: Day;
  /** Last day of what goes on for some days, or is done every so many; the same day otherwise. */
  readonly until: Day;
  /** 1: daily; 0: once, on any day up to `until`. */
  readonly everyDays: number;
  /** By how much the day may move either way: sources differ; 0 where it is sure. */
  readonly giveOrTakeDays: number;
}

const once = (kind: TaskKind, day: Day, giveOrTakeDays = 0, until = day): Task => ({
  kind,
  day,
  until,
  everyDays: 0,
  giveOrTakeDays,
});

/** None where it would have no day. */
const series = (
  kind: TaskKind,
  day: Day,
  until: Day,
  everyDays: number,
  giveOrTakeDays = 0,
): Task[] =>
  until < day
    ? []
    : [
        {
          kind,
          day,
          until: day + Math.floor((until - day) / everyDays) * everyDays,
          everyDays,
          giveOrTakeDays,
        },
      ];

/** The first day of a stage; null for a crop without it. */
const startOf = (spans: readonly StageSpan[], name: StageSpan['name']): Day | null =>
  spans.find((span) => span.name === name)?.from ?? null;

/** How far a batch has come, and on which day that is told. */
interface SoFar {
  readonly happened: Happened;
  readonly stand: Stand | null;
  readonly today: Day;
}

/** All tasks of a batch in the order of their days, and on one day in that of `TASK_KINDS`. */
export function batchTasks(
  crop: Crop,
  dates: BatchDates,
  spans: readonly StageSpan[],
  { happened, stand, today }: SoFar,
): readonly Task[] {
  const tasks = [
    ...beforeSowing(dates, happened.sown === null ? today : null),
    ...toEmergence(crop, dates, happened),
    ...fromEmergence(crop, dates, spans),
    ...forThoseMissing(happened, stand),
    ...aroundTransplant(dates, spans),
  ];
  const rank = (task: Task): number => TASK_KINDS.indexOf(task.kind);
  return tasks.sort((a, b) => a.day - b.day || rank(a) - rank(b));
}

/** `today`: what is to be sown at once is cleaned and soaked at once; null for a batch that is sown. */
function beforeSowing({ sow }: BatchDates, today: Day | null): Task[] {
  const before = (days: number): Day => {
    const day = sow.planned - days;
    return today === null ? day : Math.min(sow.planned, Math.max(today, day));
  };
  return [
    once('clean', before(STEPS.cleanBeforeSowing)),
    once('calibrate', before(STEPS.cleanBeforeSowing)),
    once('soak', before(STEPS.soakBeforeSowing)),
    once('sow', sow.planned),
  ];
}

/** How far a planned day may be out. */
const doubt = ({
  planned,
  earliest,
  latest,
}: {
  planned: Day;
  earliest: Day;
  latest: Day;
}): number => Math.max(planned - earliest, latest - planned);

function toEmergence(crop: Crop, { sow, emerged }: BatchDates, happened: Happened): Task[] {
  const lookFrom = Math.max(sow.planned + 1, emerged.earliest - STEPS.lookBefore);
  const look = happened.emerged === null ? series('look', lookFrom, emerged.latest, 1) : [];
  return [
    ...series('air', sow.planned + 1, emerged.planned - 1, 1),
    ...look,
    once('emerged', emerged.planned, doubt(emerged)),
    // Rooted cuttings are counted when they are lifted.
    ...(crop.from === 'cutting'
      ? []
      : [once('count', emerged.planned + STEPS.countAfterEmergence, doubt(emerged))]),
  ];
}

/** What is sown again is sown at once: it is late as it is. */
function forThoseMissing({ counted, transplanted }: Happened, stand: Stand | null): Task[] {
  if (counted === null || stand === null || stand.seeds === 0 || transplanted !== null) return [];
  return [once('sow-more', counted.day, 0, counted.day + STEPS.sowMoreWithin)];
}

/** Only what comes before it is ready. */
function fromEmergence(crop: Crop, dates: BatchDates, spans: readonly StageSpan[]): Task[] {
  const { emerged, ready } = dates;
  const moves = doubt(emerged);
  const feed = firstFeedDay(dates);
  const feedMost = emerged.planned + STEPS.feedAfterEmergenceMost;
  const lid = lidDays(crop, (startOf(spans, 'grow') ?? ready.planned) - emerged.planned);
  return [
    once('prop-lid', emerged.planned + lid.propped, moves),
    once('first-feed', feed, moves, Math.min(feedMost, ready.planned - 1)),
    once('count-again', emerged.planned + STEPS.countAgainAfterEmergence, moves),
    ...series(
      'feed-change',
      feed + STEPS.feedChange,
      ready.planned - STEPS.noChangeBeforeReady,
      STEPS.feedChange,
      moves,
    ),
    ...series(
      'wash',
      feed + STEPS.washReservoir,
      ready.planned - STEPS.noChangeBeforeReady,
      STEPS.washReservoir,
      moves,
    ),
    once('lid-by-day', emerged.planned + lid.offByDay, moves),
  ].filter(({ day }) => day < ready.planned);
}

function aroundTransplant({ ready }: BatchDates, spans: readonly StageSpan[]): Task[] {
  const harden = startOf(spans, 'harden');
  return [
    ...(harden === null ? [] : [once('harden', harden, doubt(ready))]),
    once('transplant', ready.planned, doubt(ready)),
    once('rewater', ready.planned + STEPS.rewaterAfterTransplant, doubt(ready)),
  ];
}

/** The days a task is on, up to `last`. */
export function daysOf({ day, until, everyDays }: Task, last: Day = until): readonly Day[] {
  const days: Day[] = [];
  if (everyDays === 0) return [day];
  for (let at = day; at <= Math.min(until, last); at += everyDays) days.push(at);
  return days;
}
