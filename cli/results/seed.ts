/** What the commands on seed give. */
import * as z from 'zod';
import { type JudgedSeries, PACINGS } from '../seed/judged';
import type { SowingResult } from '../seed/kept';
import type { ReplicatesResult, ThermalResult } from '../seed/trials';

const number = z.number();
const text = z.string();
const orNull = number.nullable();

export const sowingResult = z.object({
  place: z.union([
    z.object({ kind: z.literal('tray'), boardId: text }),
    z.object({ kind: z.literal('lot'), name: text }),
  ]),
  sownMs: number,
  of: number.describe('seeds sown'),
  counts: z.array(
    z.object({ unixMs: number, day: number.describe('from sowing'), standing: number }),
  ),
}) satisfies z.ZodType<SowingResult>;

export const countResult = sowingResult.extend({
  inJournal: z.boolean().describe('the controller has it in its journal as well'),
});

const pace = z.object({
  t50FarooqDay: orNull.describe('day on which half of those that came up were up; null: not seen'),
  t50CoolbearDay: orNull,
  meanDays: orNull,
  sdDays: orNull,
  seDays: orNull,
  meanRatePerDay: orNull,
  velocityPercentPerDay: orNull.describe('per cent a day'),
  speedPerDay: orNull.describe('seedlings a day, summed'),
  cvTimePercent: orNull,
  synchrony: orNull.describe('0..1'),
  uncertaintyBit: orNull.describe('bit'),
  uniformityPerDay2: orNull,
});

export const seedTestResult = z.object({
  of: number,
  counts: z.array(z.object({ day: number, standing: number })).readonly(),
  emerged: number.describe('the most that stood'),
  standing: number.describe('at the last count'),
  share: number,
  lowShare: number.describe('95 %, Wilson'),
  highShare: number,
  apartDays: number.describe('between counts, over all that came up'),
  pace: pace.nullable().describe('null while nothing is up; values that cannot be told are null'),
  against: z
    .object({
      emerged: number,
      of: number,
      chance: number.describe('that lots of one germination differ so much, or more: Fisher'),
      points: number.describe('difference, per cent'),
      tolerancePoints: orNull.describe('of two tests of 400 seeds'),
    })
    .nullable(),
  table: z
    .object({
      crop: text,
      atC: number,
      by: z.enum(['told', 'journal']).describe('who told crop and temperature'),
      lowDays: number,
      highDays: number,
      sources: z.array(text).readonly(),
      normalShare: orNull,
      halfUpDay: orNull.describe('half of those sown stood, straight between the counts'),
      halfUpAfterDay: orNull.describe('the count before: half may have stood any time since'),
      pacing: z.enum(PACINGS),
    })
    .nullable(),
}) satisfies z.ZodType<JudgedSeries>;

export const replicatesResult = z.object({
  meanPercent: number,
  rangePoints: number,
  tolerancePoints: orNull.describe('null where the table has no figure'),
  agree: z.boolean().nullable(),
}) satisfies z.ZodType<ReplicatesResult>;

export const thermalResult = z.object({
  baseC: number,
  sumCDays: number,
  fromC: number,
  toC: number,
  r2: number,
  leftOutC: z.array(number).describe('trials warmer than the quickest: the line ends there'),
  to: z.object({ atC: number, days: number }).nullable().describe('with --to'),
}) satisfies z.ZodType<ThermalResult>;
