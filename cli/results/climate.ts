/** What the commands on light and air give. */
import * as z from 'zod';
import { LAMP_NAMES } from '../../shared/physics/light';
import { LID_PLACES } from '../../shared/profile/profile';
import type { AirResult } from '../commands/air';
import type { DliResult } from '../commands/light';
import type { HeightResult } from '../commands/light-height';

const number = z.number();
const text = z.string();

export const dliResult = z.object({
  ppfdUmol: number,
  leastUmol: number.describe('what it may be, where a lux meter told it; so with the sum'),
  mostUmol: number,
  hours: number,
  sumMolM2D: number.describe('of a day, on a square metre'),
  leastMolM2D: number,
  mostMolM2D: number,
  lamp: z
    .object({ name: z.enum(LAMP_NAMES), lux: number.describe('what a lux meter shows') })
    .nullable(),
  wanted: z
    .object({
      crop: text,
      stage: text,
      lowMolM2D: number,
      highMolM2D: number,
      sources: z.array(text),
      judged: z.enum(['less', 'enough', 'more', 'unsure']),
    })
    .nullable(),
}) satisfies z.ZodType<DliResult>;

const lightAt = {
  heightM: number.describe('above the leaves'),
  times: number.describe('the light there is now'),
  ppfdUmol: number.nullable(),
};

export const heightResult = z.object({
  ...lightAt,
  raiseM: number.describe('below 0: lower it'),
  shape: z.enum(['point', 'panel', 'disc']),
  around: z.array(z.object(lightAt)),
}) satisfies z.ZodType<HeightResult>;

export const airResult = z.object({
  airC: number,
  humidityShare: number,
  leafC: number,
  vapourKpa: number,
  vpdKpa: number.describe('deficit of the air'),
  leafVpdKpa: number.describe('at the leaf; below 0 it is wet with dew'),
  dewPointC: number.nullable().describe('null: the instrument does not tell, but for the most'),
  dewPointMostC: number,
  doubtKpa: number.describe('how far the deficit may be out by a fair instrument'),
  lid: z
    .object({
      lids: z.array(z.enum(LID_PLACES)).readonly(),
      lowKpa: number,
      highKpa: number,
      plants: text,
    })
    .nullable()
    .describe('that goes with such air round the leaves; null: too dry for young plants'),
}) satisfies z.ZodType<AirResult>;
