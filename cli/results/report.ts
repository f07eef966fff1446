/** Shape of what `report` gives: what its page says first, and where it is. */
import * as z from 'zod';
import { COMPARED, type Difference } from '../report/compare/model';
import type { Answers, Line } from '../report/model';
import { alarmName } from './board';

const text = z.string();
const number = z.number();

const line = z.object({
  says: text,
  id: text.nullable().describe('the place in the page that tells more'),
}) satisfies z.ZodType<Line>;
const lines = z.array(line.meta({ id: 'ReportLine' }));

const answers = z.object({
  happened: lines,
  plants: lines.describe('how bad it was for them'),
  next: lines.describe('what to do'),
  leave: z.enum(['not-yet', 'look-first', 'nothing-against', 'not-sown']),
  leaveWhy: lines,
}) satisfies z.ZodType<Answers>;

const known = number.nullable();

export const compared = z.object({
  out: text,
  bytes: number,
  commonDays: number.describe('what adds up is compared over so many days from sowing'),
  seasons: z.array(
    z.object({
      name: text.describe('as --compare takes it'),
      boardId: text,
      life: number,
      title: text,
      crop: text.nullable(),
      sownUnixMs: known,
      days: number.describe('since sowing'),
      incidents: number,
      alarms: z.array(alarmName),
    }),
  ),
  differences: z.array(
    z.object({
      what: z.enum(COMPARED),
      a: known,
      b: known,
      difference: known.describe('b less a'),
    }) satisfies z.ZodType<Difference>,
  ),
  damaged: number.describe('entries that the disk has spoilt, left out'),
});

export const reported = z.object({
  out: text.nullable().describe('the page; null where only the picture was asked for'),
  bytes: number.nullable().describe('of the page'),
  svg: text.nullable().describe('the picture; null where none was asked for'),
  svgBytes: number.nullable(),
  boardId: text,
  pulled: z.boolean().describe('whether a controller answered just now'),
  period: text,
  incidents: number,
  answers,
  unknown: z.array(text).describe('what the journal cannot tell'),
  damaged: number.describe('entries that the disk has spoilt, left out'),
});
