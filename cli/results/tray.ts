/** Shape of what `tray model` gives. */
import * as z from 'zod';
import { LID_PLACES } from '../../shared/profile/profile';

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

const figure = z
  .object({ value: number, low: number, high: number })
  .meta({ id: 'Figure' })
  .describe('nine of ten times between `low` and `high`');
const change = z.object({ share: number, low: number, high: number }).nullable();

export const trayModel = z.object({
  boardId: z.string(),
  pulled: z.boolean().describe('whether a controller answered just now'),
  mat: z
    .object({
      now: matPower,
      first: matPower.nullable().describe('null: no earlier time tells of it'),
      change: change.describe('of `now` against `first`'),
      mostDutyShare: number.describe(
        'of its heat, that holding the root zone took in the three hours in which it took most',
      ),
      spareW: number.describe('that were left then'),
      heldWhK: figure.describe('heat of tray and mat, with the water in them, for each kelvin'),
    })
    .nullable(),
  heat: z
    .object({
      lid: z.enum(LID_PLACES),
      lossWK: figure.describe('of tray and mat, evaporation with it, for each kelvin'),
      reachK: figure.describe('that a mat always on keeps the root zone warmer'),
      spareK: figure.describe('that the coldest hours could have been colder'),
      aroundC: figure.describe(
        'what surrounds the tray, as it feels it: lamp and evaporation in it',
      ),
    })
    .nullable(),
  hours: z
    .array(z.object({ hour: number.describe('0 to 23, by the tray’s clock'), aroundC: figure }))
    .describe('the same by the hour of the day, of the hours that the journal tells'),
  drying: z.array(
    z.object({ lid: z.enum(LID_PLACES), gPerH: figure, days: number.describe('whole ones') }),
  ),
  growth: z
    .object({
      fromUnixMs: orNull,
      toUnixMs: orNull,
      gPerDay: figure.describe('of all plants between two soaks'),
      gainedG: number,
    })
    .nullable(),
  pump: z
    .object({
      mlPerS: figure,
      change: change.describe('against its calibration'),
      doses: number.describe('that tell'),
    })
    .nullable(),
  scaleZero: z
    .object({ gPerDay: figure.describe('creep of the zero'), days: number })
    .nullable()
    .describe('by whole days under a closed lid'),
  notTold: z.array(z.object({ what: z.string(), why: z.string() })),
});
