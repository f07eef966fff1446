/** What `rehearse` gives with `--json`. */
import * as z from 'zod';
import { CROP_NAMES } from '../../firmware/bench/plant/crops';
import { HABIT_NAMES } from '../../firmware/bench/season/habits';
import { ALARM_NAMES } from '../../shared/alarms/catalogue';
import { LID_PLACES } from '../../shared/profile/profile';
import type { Missed } from '../rehearse/band';
import type { ShortRehearsal } from '../rehearse/once';
import type { Span, Summary } from '../rehearse/summary';

const number = z.number();

const span = z
  .object({ least: number, middle: number, most: number })
  .meta({ id: 'Span' }) satisfies z.ZodType<Span>;

const missed = z
  .object({ hoursADay: number, nightShare: number.nullable().describe('of it; null: unknown') })
  .meta({ id: 'Missed' }) satisfies z.ZodType<Missed>;

const summary = {
  rehearsals: number,
  days: span.describe('all days are since sowing'),
  emergedDay: span.nullable().describe('half of the seed is up; null: in none'),
  firstFeedDay: span.nullable(),
  transplantDay: span.nullable(),
  stages: z.array(
    z.object({
      stage: number.describe('index in the profile'),
      lid: z.enum(LID_PLACES),
      fromDay: span,
      forDays: span,
      inBandShare: span.describe('as all of its roots: without the half day in which it warms up'),
      coldestC: number,
      warmestC: number,
      below: missed,
      above: missed,
      mlADay: span,
    }),
  ),
  refills: span,
  firstRefillDay: span.nullable(),
  doses: span,
  ml: span,
  mostDayMl: span,
  eachMl: span,
  eachSaltsMg: span,
  matW: number.describe('the mat at full heat'),
  matKwh: span,
  driestShare: span,
  deadShare: span,
  growthShare: span.describe('of plants that lacked nothing'),
  alarms: z.array(
    z.object({ alarm: z.enum(ALARM_NAMES), rehearsals: number, times: span, firstDay: span }),
  ),
};

export const rehearsal = z.object({
  crop: z.enum(CROP_NAMES),
  room: z.object({ nightC: number, dayC: number }),
  grower: z.enum(HABIT_NAMES),
  like: z.string().nullable().describe('the controller whose mat it was, by its journal'),
  out: z.string().nullable().describe('the page; null where none was asked for'),
  bytes: number.nullable().describe('of the page'),
  ...summary,
}) satisfies z.ZodType<Summary>;

export const shortRehearsal = z.object({
  crop: z.enum(CROP_NAMES),
  room: z.object({ nightC: number, dayC: number }),
  days: number,
  warnings: z.array(
    z.object({
      about: z.enum(['band', 'alarm', 'dry', 'feed', 'emergence', 'growth']),
      says: z.string().describe('for a grower, in the units asked for'),
    }),
  ),
}) satisfies z.ZodType<ShortRehearsal>;
