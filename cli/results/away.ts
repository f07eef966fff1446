/** Shape of what `away` gives, and of what `status` has of it. */
import * as z from 'zod';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { type Away, type Limit, type Obstacle, TASK_KINDS, VERDICTS } from '../away/model';
import type { StatusAhead } from '../away/status';
import { END_KINDS } from '../forecast/walk';

const number = z.number();
const text = z.string();
const orNull = number.nullable();

const timed = {
  inH: number.describe('from now; 0: due'),
  unixMs: orNull,
  says: text,
};

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
  })
  .meta({ id: 'Obstacle' }) satisfies z.ZodType<Obstacle>;

const nextDose = z.object({ inH: number, unixMs: orNull, ml: number });

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
    })
    .nullable()
    .describe('what buys most time'),
  daily: z.array(text),
  remarks: z.array(text),
  mlPerDay: z.object({ low: number, likely: number, high: number }),
  reservoirMl: orNull,
  nextDose: nextDose.nullable(),
}) satisfies z.ZodType<Away>;

export const statusAhead = z
  .object({
    nextDose: nextDose.nullable(),
    reservoirUntil: z
      .object({ inH: number, unixMs: orNull })
      .nullable()
      .describe('with 90 % certainty'),
    nextTask: z.object({ kind: z.enum(TASK_KINDS), ...timed }).nullable(),
  })
  .nullable()
  .describe(
    'null where no fresh journal of this controller is kept here',
  ) satisfies z.ZodType<StatusAhead | null>;
