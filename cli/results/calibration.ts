/** What the calibrations find, with `--json`. */
import * as z from 'zod';
import type { ProbeFindings } from '../calibration/probe';
import type { PumpFindings } from '../calibration/pump';
import type { ScaleFindings } from '../calibration/scale';
import { everyOf } from './word-lists';

const number = z.number();

export const scaleFindings = z.object({
  zeroCode: number,
  countsPerG: number,
  spanCode: number,
  repeatabilityG: number,
  driftG: number,
  zeroReturnG: number,
  uncertaintyG: number.describe('standard, at the working weight'),
  uncertainties: z.object({ zeroG: number, loadedG: number, readingG: number, weightG: number }),
}) satisfies z.ZodType<ScaleFindings>;

export const probeFindings = z.object({
  readC: number,
  referenceC: number,
  offsetK: number.describe('added to readings'),
  spreadK: number,
}) satisfies z.ZodType<ProbeFindings>;

export const pumpFindings = z.object({
  mlPerS: number,
  cvPercent: number,
  driftPercent: number.nullable(),
  drift: everyOf<PumpFindings['drift']>({
    first: true,
    steady: true,
    ageing: true,
    'worn-out': true,
  }),
}) satisfies z.ZodType<PumpFindings>;
