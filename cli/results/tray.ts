/** Shape of what `tray model` gives. */
import * as z from 'zod';

const number = z.number();
const orNull = number.nullable();

const matPower = z
  .object({
    fromUnixMs: orNull,
    toUnixMs: orNull,
    watts: number.describe('of the mat’s heat that reaches the tray'),
    lowW: number.describe('nine of ten times between this and `highW`'),
    highW: number,
  })
  .meta({ id: 'MatPower' });

export const trayModel = z.object({
  boardId: z.string(),
  pulled: z.boolean().describe('whether a controller answered just now'),
  now: matPower,
  first: matPower.nullable().describe('null: no earlier time tells of it'),
  change: z
    .object({ share: number, low: number, high: number })
    .nullable()
    .describe('of `now` against `first`'),
  mostDutyShare: number.describe('in the three hours in which the mat was on most'),
  spareW: number.describe('that it had left then'),
});
