/** What the commands on plans give. Days are of the calendar: `2027-03-20`. */
import * as z from 'zod';
import { CROP_STAGES } from '../../shared/crops/library/crop';
import { TASK_KINDS } from '../../shared/planning/agenda';
import type { CheckResult, PlanResult } from '../planning/result';
import { TRAY_TASK_KINDS } from '../words/tray-task';

const number = z.number();
const text = z.string();
const day = z.string().describe('such as 2027-03-20');
const orNull = day.nullable();

const range = z.object({ low: number, high: number });
const dayRange = z.object({ earliest: day, planned: day, latest: day });
const pace = z
  .object({
    low: number,
    high: number,
    planned: number.describe('days that the plan goes by'),
    said: z.array(
      z.object({
        low: number,
        high: number,
        source: text,
        by: z.enum(['trials', 'thermal-time', 'table']),
      }),
    ),
  })
  .meta({ id: 'PlanPace' });

export const planResult = z
  .object({
    name: text,
    id: text.describe('by which calendars know its tasks'),
    revision: number,
    datedBy: text.nullable().describe('controller whose stored journal has dated it'),
    leftOut: text.nullable().describe('why some of its marks were left out'),
    crop: text,
    plants: number,
    sow: dayRange,
    emerged: dayRange.describe('half is up; of cuttings: first roots'),
    ready: dayRange,
    days: z.object({ toEmergence: pace, toTransplant: pace.describe('from emergence') }),
    growthTimes: number.describe('times as long as printed, in this room'),
    room: z.object({ nightC: number, dayC: number, by: z.enum(['told', 'tables', 'usual']) }),
    rootZone: z.object({ nightC: number, dayC: number, isWarmed: z.boolean(), source: text }),
    seed: z.object({
      plants: number.describe('wanted, and spare ones'),
      germination: number.describe('share reckoned with'),
      reduced: z.object({ share: number, source: text }).nullable(),
      seeds: number.describe('or cuttings; one a plug'),
      trays: number,
      inLastTray: number,
      plug: z.object({ lengthMm: number, widthMm: number, heightMm: number }),
    }),
    stages: z.array(
      z.object({
        name: z.enum(CROP_STAGES),
        from: day,
        to: day,
        rootZoneC: range.nullable(),
        dliMolM2D: range.nullable(),
        feedEc: range.extend({ source: text }).nullable(),
        needsMat: z.boolean(),
      }),
    ),
    needs: z.object({
      matDays: number,
      light: z.object({
        dliMol: number,
        hoursPerDay: number,
        most: z
          .object({ stage: z.enum(CROP_STAGES), dliMol: number, hoursPerDay: number })
          .nullable()
          .describe('of the stage that wants most, where that is more'),
        days: number,
        hours: number,
      }),
      soakMl: number.describe('to mix for the soak'),
      givenMl: range,
      feedEc: range.extend({ source: text }).nullable(),
      strongestEc: range.extend({ source: text }).nullable(),
      stockEachMl: range.nullable().describe('of each part, for soaking and giving'),
    }),
    tasks: z.array(
      z.object({
        kind: z.enum(TASK_KINDS),
        day,
        until: day,
        everyDays: number.describe('0: once, on any day up to `until`'),
        times: number,
        giveOrTakeDays: number,
        title: text,
        why: text,
      }),
    ),
    happened: z.object({
      sown: orNull,
      emerged: orNull,
      counted: z
        .object({
          day,
          plants: number,
          of: number.nullable().describe('null: of the seeds of the plan'),
        })
        .nullable(),
      transplanted: orNull,
    }),
    stand: z
      .object({
        counted: number,
        of: number,
        missing: number,
        seeds: number.describe('to sow at once for those missing'),
        luck: number.describe('chance that so few or fewer come of such seed'),
      })
      .nullable(),
    cautions: z.array(text),
    written: z.object({ kept: text.nullable(), out: text.nullable(), ics: text.nullable() }),
  })
  .meta({ id: 'Plan' }) satisfies z.ZodType<PlanResult>;

const days = { from: day, to: day };
const two = z.tuple([text, text]).readonly();
const wanting = z.object({ batch: text, stage: z.enum(CROP_STAGES), wants: range });
const sides = z.tuple([wanting, wanting]).readonly();
const names = z.array(text).readonly();

export const checkResult = z.object({
  plans: names,
  overlaps: z.array(z.object({ ...days, batches: two })),
  clashes: z.array(
    z.discriminatedUnion('kind', [
      z.object({
        kind: z.enum(['mat', 'light']),
        ...days,
        place: text,
        batches: names,
        trays: number,
        holds: number,
      }),
      z.object({
        kind: z.enum(['band', 'sum']),
        ...days,
        place: text,
        sides: sides.describe('root zones, C, or light, mol/m2/d, that nothing meets'),
      }),
      z.object({ kind: z.literal('room'), ...days, batches: two }),
    ]),
  ),
}) satisfies z.ZodType<CheckResult>;

const due = z.object({
  kind: z.enum(TASK_KINDS),
  day,
  isOverdue: z.boolean(),
  title: text,
  why: text,
});

export const agendaResult = z.object({
  today: day,
  days: number,
  plans: z.array(
    z.object({
      name: text,
      datedBy: text.nullable().describe('controller whose marks date it'),
      next: due
        .nullable()
        .describe('first of all that is left, whenever that is; null: all is done'),
    }),
  ),
  tasks: z.array(due.extend({ plan: text })),
  tray: z
    .object({
      controller: text,
      tasks: z.array(z.object({ kind: z.enum(TRAY_TASK_KINDS), title: text, why: text })),
    })
    .nullable()
    .describe('of the controller that answers'),
});
