/** Shape of what `away` gives, and of what `status` has of it. */
import * as z from 'zod';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { LID_PLACES, MARKS } from '../../shared/profile/profile';
import {
  type Away,
  type ExpectedDose,
  type Limit,
  type NextDose,
  type Obstacle,
  type Range,
  TASK_KINDS,
  VERDICTS,
} from '../away/model';
import type { NoAhead, StatusAhead } from '../away/status';
import { WHY_NOT } from '../away/why-not';
import { END_KINDS } from '../forecast/walk';

const number = z.number();
const text = z.string();
const orNull = number.nullable();

const moment = { inH: number.describe('from now; 0: due'), unixMs: number };
const timed = { ...moment, says: text };

/** Somebody does it, and types the command, before water goes on. */
const freed = { until: text, command: text.nullable() };

const limit = z
  .union([
    z.object({
      by: z.literal('tray'),
      kind: z.enum([...END_KINDS, 'cold']),
      ...timed,
      likelyInH: orNull.describe('null: not within the time looked ahead'),
    }),
    z.object({ by: z.literal('hands'), kind: z.enum(TASK_KINDS), ...timed }),
  ])
  .meta({ id: 'AwayLimit' }) satisfies z.ZodType<Limit>;

const obstacle = z
  .object({
    kind: z.enum(['alarm', 'held', 'reservoir-unknown']),
    alarm: z.enum(ALARM_NAMES).nullable(),
    says: text,
    next: z.array(text),
    water: z.object(freed).nullable().describe('what frees it; null: none is held off'),
  })
  .meta({ id: 'Obstacle' }) satisfies z.ZodType<Obstacle>;

const expectedDose = z
  .object({
    kind: z.literal('expected'),
    ...moment,
    ml: number,
    need: z.enum(['dry-back', 'rescue', 'opening']),
    soonest: z.object(moment).describe('nine times of ten between these two'),
    latest: z.object(moment).nullable().describe('null: not within the time looked ahead'),
    soonerBy: z.enum(MARKS).nullable(),
  })
  .meta({ id: 'ExpectedDose' }) satisfies z.ZodType<ExpectedDose>;

const nextDose = z
  .union([
    expectedDose,
    z.object({
      kind: z.literal('held'),
      ...freed,
      rescue: expectedDose.nullable(),
    }),
    z.object({ kind: z.literal('none') }),
  ])
  .meta({ id: 'NextDose' }) satisfies z.ZodType<NextDose>;

const range = z
  .object({ low: number, likely: number, high: number })
  .meta({ id: 'Range' }) satisfies z.ZodType<Range>;

export const awayResult = z.object({
  boardId: text,
  pulled: z.boolean().describe('whether a controller answered just now'),
  journalEndUnixMs: orNull,
  ageS: number.describe('of the journal, where no controller answered'),
  verdict: z.enum(VERDICTS),
  askedH: number,
  holdsH: number.describe('by itself, with `certainty`'),
  holdsLonger: z.boolean().describe('nothing ends it within the time looked ahead'),
  certainty: number,
  limits: z.array(limit).describe('in order of time'),
  obstacles: z.array(obstacle).describe('to be put right before anybody leaves'),
  change: z
    .object({
      kind: z.enum(['fill', 'soak', ...TASK_KINDS]),
      says: text,
      holdsH: number,
      untilH: number,
      limitThen: limit.nullable().describe('the first limit then'),
    })
    .nullable()
    .describe('what buys most time'),
  daily: z.array(text),
  remarks: z.array(text),
  driesMlPerDay: range,
  dosesMl: range.describe('all within `askedH`'),
  reservoirMl: orNull,
  nextDose,
}) satisfies z.ZodType<Away>;

const NO_AHEAD = [
  ...(['no-journal', 'journal-old'] as const),
  ...(Object.keys(WHY_NOT) as (keyof typeof WHY_NOT)[]),
] as const;

export const statusAhead = z.object({
  ahead: z
    .object({
      nextDose,
      reservoirUntil: z.object(moment).nullable().describe('with 90 % certainty'),
      nextTask: z.object({ kind: z.enum(TASK_KINDS), ...timed }).nullable(),
      lidToMove: z
        .enum(LID_PLACES)
        .nullable()
        .describe('where the stage that began lately wants the lid, until somebody marks it'),
    })
    .nullable() satisfies z.ZodType<StatusAhead | null>,
  noAhead: z
    .enum(NO_AHEAD)
    .nullable()
    .describe('why there is none') satisfies z.ZodType<NoAhead | null>,
});
