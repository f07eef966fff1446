/** What the commands that mix give: `feed` and `water`. */
import * as z from 'zod';
import { CROP_STAGES, STANDINGS } from '../../shared/crops/library/crop';
import { ACID_NAMES } from '../../shared/physics/acid';
import { PIECE_FORMS } from '../../shared/physics/soak';
import { FITNESS } from '../../shared/physics/water-fitness';

const number = z.number();
const text = z.string();
const orNull = number.nullable();

const makesMl = number.describe('what is in the reservoir then');
const pourOutMl = number.describe('before it, so that the reservoir does not run over');
const mixed = z.object({
  add: z.literal('stock'),
  eachMl: number.describe('of each part'),
  pourOutMl,
  makesMl,
});
const thinned = z.object({ add: z.literal('water'), waterMl: number, pourOutMl, makesMl });
const nothing = z.object({ add: z.literal('nothing') });

const published = z
  .array(z.object({ low: number, high: number, source: text.describe('its short name') }))
  .meta({ id: 'Published' });

const rung = z.object({
  stage: z.enum(CROP_STAGES),
  feedEcMsCm: published,
  feedNMgL: published,
  dliMolM2D: published,
  lean: z.enum(['weaker', 'as-told', 'stronger']).nullable().describe('by the light that was told'),
  start: z.object({ ecMsCm: number, by: z.enum(['ec', 'nitrogen']), mild: z.boolean() }).nullable(),
});

/** By command, as in `commands.ts`. */
export const MIXING_RESULTS: Readonly<Record<string, readonly z.ZodType[]>> = {
  'feed ec': [
    z.object({
      readMsCm: number,
      atC: orNull,
      ecMsCm: number.describe('at 25 C'),
      ppm500: number,
      ppm640: number,
      ppm700: number,
    }),
    z
      .object({
        bottleMsCm: number,
        atC: number,
        trueMsCm: number.describe('of the standard, there'),
        readMsCm: orNull,
        meter: z
          .object({ errorShare: number, state: z.enum(['good', 'calibrate', 'mend']) })
          .nullable(),
      })
      .describe('with --bottle'),
  ],
  'feed mix': [mixed, thinned, nothing],
  'feed dilute': [thinned, nothing],
  'feed stock': [z.object({ gPerL: number, totalG: number })],
  'feed ladder': [
    z.object({
      crop: text,
      dliMolM2D: orNull,
      rungs: z.array(rung),
      shippedProfile: z
        .array(z.object({ stage: text, feedEcMsCm: number }))
        .nullable()
        .describe('null where no profile comes for it'),
      sources: z.array(z.object({ name: text, citation: text, standing: z.enum(STANDINGS) })),
    }),
  ],
  'water acid': [
    z.object({
      acid: z.enum(ACID_NAMES),
      unit: z.enum(['ml', 'g']),
      perL: number.describe('of the acid, in its unit'),
      total: orNull.describe('for --volume'),
      molPerUnit: number,
      takenMeqL: number,
      leftMeqL: number,
      adds: z.object({ nMgL: number, pMgL: number, sMgL: number }),
    }),
  ],
  'water soak': [
    z.object({
      form: z.enum(PIECE_FORMS),
      pieceMl: number,
      fromS: number,
      toS: number,
      ph: number,
      mixMl: number,
      drinkMl: number,
      keepMl: number.describe('once drained'),
    }),
  ],
  'water test': [
    z.object({
      fitness: z.enum(FITNESS),
      findings: z.array(
        z.object({
          reading: z.enum(['ec', 'ph', 'alkalinity', 'hardness', 'together']),
          fitness: z.enum(FITNESS),
          says: text,
          source: text,
        }),
      ),
    }),
  ],
};
