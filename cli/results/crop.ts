/** Shapes of the crop library. */
import * as z from 'zod';
import {
  CROP_KINDS,
  CROP_STAGES,
  type Crop,
  type CropSource,
  type Range,
  STANDINGS,
} from '../../shared/crops/library/crop';
import type { EmergenceForecast } from '../../shared/crops/library/emergence';
import type { CropSummary } from '../crop/summary';

const number = z.number();
const text = z.string();
const orNull = number.nullable();

/** Exported for others that tell what a source says. */
export const range = z
  .object({ low: number, high: number })
  .meta({ id: 'Range' }) satisfies z.ZodType<Range>;
const rangeOrNull = range.nullable();
export const published = z
  .array(z.object({ low: number, high: number, source: text }))
  .meta({ id: 'Published', description: 'what each source says; empty where none does' });

const trialRow = z
  .object({
    atC: range,
    days: z
      .union([range, z.literal('never')])
      .nullable()
      .describe('to emergence; null where not tested'),
    normalShare: orNull,
  })
  .meta({ id: 'TrialRow' });

const crop = z
  .object({
    name: text,
    also: z.array(text),
    latin: text,
    kind: z.enum(CROP_KINDS),
    from: z.enum(['seed', 'cutting']),
    isTransplanted: z.boolean(),
    note: text,
    temperatures: z
      .array(
        z.object({
          minC: orNull,
          bestLowC: number,
          bestHighC: number,
          maxC: orNull,
          source: text,
        }),
      )
      .describe('of the root zone while seed comes up'),
    trials: z.array(
      z.object({
        source: text,
        rows: z.array(trialRow),
      }),
    ),
    rooting: z
      .object({ callusDays: published, rootsDays: published })
      .nullable()
      .describe('of a cutting, from sticking'),
    stages: z.array(
      z.object({
        name: z.enum(CROP_STAGES),
        days: published,
        rootZoneC: published,
        airDayC: published,
        airNightC: published,
        feedEcMsCm: published,
        feedNMgL: published,
        dliMolM2D: published.describe('the least or the best where it is one number'),
      }),
    ),
    daysToTransplant: published,
    cellsPerTray: published,
    inRowMm: published,
    betweenRowsMm: published,
    growth: z
      .object({
        firstLeafCm2: number,
        leafCm2PerG: number,
        dryShare: number,
        growthBaseC: number,
        growthFullC: number,
        seed: z.array(trialRow).describe('where no trials were published'),
        source: text,
      })
      .nullable()
      .describe('what the bench grows by'),
  })
  .meta({ id: 'Crop' }) satisfies z.ZodType<Crop>;

const summary = z
  .object({
    name: text,
    also: z.array(text),
    kind: z.enum(CROP_KINDS),
    from: z.enum(['seed', 'cutting']),
    isTransplanted: z.boolean(),
    startC: rangeOrNull.describe('root zone to bring it up, or to root it'),
    startDays: rangeOrNull.describe('until up or rooted, in the middle of that'),
    toTransplantDays: rangeOrNull,
    hasProfile: z.boolean(),
  })
  .meta({ id: 'CropSummary' }) satisfies z.ZodType<CropSummary>;

const forecast = z.object({
  days: range,
  estimates: z.array(
    z.object({ by: z.enum(['trials', 'thermal-time']), source: text, low: number, high: number }),
  ),
  normal: z.object({ share: number, source: text }).nullable(),
}) satisfies z.ZodType<EmergenceForecast>;

const source = z.object({
  name: text.describe('as it stands in `source`'),
  citation: text,
  standing: z.enum(STANDINGS),
}) satisfies z.ZodType<CropSource>;

/** By command. */
export const CROP_RESULTS: Readonly<Record<string, readonly z.ZodType[]>> = {
  'crop list': [z.object({ crops: z.array(summary) })],
  'crop show': [
    z.object({
      crop,
      at: z
        .object({
          atC: number,
          emergence: forecast.nullable(),
          why: text.nullable().describe('nothing is told of it'),
        })
        .nullable()
        .describe('with --at'),
      sources: z.array(source),
    }),
  ],
  'crop compare': [
    z.object({
      crops: z.array(summary),
      sharedBestC: rangeOrNull.describe('where both come up best; null where that leaves no band'),
    }),
  ],
};
