/**
 * The profile file as a grower writes it: YAML, every quantity with its unit. One zod schema checks
 * it, turns quantities into numbers, and gives the JSON Schema that editors use. Host only.
 */
import * as z from 'zod';
import { PUREST_MS_CM } from '../../physics/feed';
import { parseQuantity, type QuantityKind } from '../../units';
import { PROFILE_LIMITS as LIMITS } from '../limits';
import { LID_PLACES, MARKS, SPREAD_WAYS, STAGE_KINDS } from '../profile';

/** Version of the file format. Raised when a key changes its meaning. */
export const FILE_VERSION = 1;

const EXAMPLES: Partial<Record<QuantityKind, string>> = {
  temperature: '26 C',
  volume: '20 ml',
  duration: '6 d',
  share: '30 %',
  ec: '0.8 mS/cm',
  length: '36 mm',
  mass: '60 g',
};

/** A quantity with its unit, as a number in the program's own unit. `help` is what editors show. */
function quantity(kind: QuantityKind, help: string) {
  const example = EXAMPLES[kind] ?? '';
  return z
    .string({
      error: ({ input }) =>
        input === undefined
          ? `This is missing. Write it with its unit, such as "${example}".`
          : `A value needs its unit here, such as "${example}".`,
    })
    .meta({ description: `${help} With its unit, such as "${example}".`, examples: [example] })
    .transform((text, context) => {
      const parsed = parseQuantity(kind, text);
      if (parsed.ok) return parsed.value;
      context.addIssue({ code: 'custom', message: parsed.why });
      return z.NEVER;
    });
}

const timeOfDay = z
  .string()
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Write a time of day as "22:00", in quotes.')
  .meta({ description: 'Local time of day, such as "22:00".' })
  .transform((text) => Number(text.slice(0, 2)) * 60 + Number(text.slice(3)));

const dayWindow = (help: string) =>
  z.strictObject({ from: timeOfDay, to: timeOfDay }).meta({ description: help });

const band = z
  .strictObject({
    low: quantity('temperature', 'The mat goes on below this.'),
    high: quantity('temperature', 'The mat goes off above this.'),
  })
  .meta({
    description: `Root-zone band, ${LIMITS.bandLowMinC} to ${LIMITS.bandHighMaxC} °C, at least ${LIMITS.bandWidthMinK} K wide.`,
  });

const medium = z.strictObject({
  name: z
    .string()
    .min(1)
    .max(LIMITS.nameBytesMax)
    .meta({ description: 'Such as plugs or blocks.' }),
  pieces: z.int().min(1).max(LIMITS.piecesMax).meta({ description: 'Pieces on the scale.' }),
  length: quantity('length', 'Outer length of one piece.'),
  width: quantity('length', 'Outer width of one piece.'),
  height: quantity('length', 'Height of one piece.'),
  bulk_density_kg_m3: z.number().meta({ description: 'Dry stone wool: 50 to 90 kg/m3.' }),
  capacity: quantity('share', 'Share of the volume that is water at container capacity.'),
});

const watering = z.strictObject({
  start: quantity('share', 'Dry-back at which doses begin.'),
  stop: quantity('share', 'Dry-back at which they end.'),
  dose: quantity('volume', 'One dose.'),
  soak_in: quantity('duration', 'Wait after a dose before it is weighed.'),
  max_day: quantity('volume', 'Never more in any 24 hours.'),
  max_stage: quantity('volume', 'Never more in this stage.'),
});

const opening = z
  .strictObject({
    by: quantity('duration', 'The first watering comes at the latest this long after the start.'),
    stop: quantity('share', 'Dry-back down to which it goes on.'),
  })
  .meta({
    description: 'The stage opens with water, whatever the dry-back. Only in a weigh stage.',
  });

const spread = z
  .strictObject({
    by: z.enum(SPREAD_WAYS).meta({ description: 'What leads a dose to every piece.' }),
    length: quantity('length', 'Length of what it waters: of the matting, or of the tray inside.'),
    width: quantity('length', 'And its width.'),
    dry: quantity('mass', 'Its own mass when dry: it stands on the scale.'),
    holds: quantity('volume', 'Water that stays in it once the tray has drained.'),
    outlets: z
      .int()
      .min(1)
      .max(LIMITS.piecesMax)
      .meta({ description: 'Holes of a drilled manifold.' })
      .optional(),
  })
  .meta({
    description: 'How water gets from the tube to every piece. Doses are checked against it.',
  });

const stage = z.strictObject({
  name: z.string().min(1).max(LIMITS.nameBytesMax),
  kind: z.enum(STAGE_KINDS).meta({ description: 'hold: no water. weigh: water by weight.' }),
  band,
  night_band: band.optional(),
  water: watering.optional().meta({ description: 'Only in a weigh stage.' }),
  open: opening.optional(),
  rescue: z
    .strictObject({
      at: quantity('share', 'Dry-back that raises the alarm too-dry.'),
      dose: quantity('volume', 'One small dose then, in a hold only.').optional(),
    })
    .meta({ description: 'What to do when the tray gets far too dry.' }),
  until: z
    .strictObject({
      after: quantity('duration', 'Run time that ends the stage.').optional(),
      mark: z.enum(MARKS).optional().meta({ description: 'Mark that ends the stage.' }),
    })
    .optional()
    .meta({ description: 'What ends the stage: whichever comes first. Without it: never.' }),
  lid: z.enum(LID_PLACES).meta({ description: 'Where the lid should be.' }),
  medium: z.string().meta({ description: 'Name of one of the media.' }),
  feed: quantity('ec', 'Strength of the feed to mix; leave out for plain water.')
    .refine((ecMsCm) => ecMsCm === 0 || ecMsCm >= PUREST_MS_CM, {
      error: 'That is purer than any water, and no feed: check the unit, mS/cm or uS/cm.',
    })
    .optional(),
});

/** By this a schema file is known as ours. */
export const PROFILE_SCHEMA_TITLE = 'Trayward crop profile';

export const profileSchema = z
  .strictObject({
    $schema: z.string().optional(),
    trayward: z.int().meta({ description: `Version of the file format: ${FILE_VERSION}.` }),
    crop: z.string().min(1).max(LIMITS.cropBytesMax),
    title: z.string().min(1).max(LIMITS.titleBytesMax),
    root_zone_max: quantity('temperature', `Alarm limit, at most ${LIMITS.rootZoneMaxC} °C.`),
    reservoir: quantity('volume', 'No more than the drip tray can catch.'),
    spread: spread.optional(),
    night: dayWindow('When night_band holds.').optional(),
    quiet: dayWindow('When no dose is started.').optional(),
    media: z.array(medium).min(1).max(LIMITS.mediaMax),
    stages: z
      .array(stage, 'A profile needs its stages: a list under "stages:".')
      .min(1, 'The list of stages is empty: a profile needs at least one.')
      .max(LIMITS.stagesMax, `A profile has ${LIMITS.stagesMax} stages at most.`),
  })
  .meta({ title: PROFILE_SCHEMA_TITLE });

/** A file that the schema accepts, quantities as numbers. */
export type ProfileFile = z.output<typeof profileSchema>;

/** JSON Schema for editors. */
export function profileJsonSchema(): object {
  return z.toJSONSchema(profileSchema, { io: 'input' });
}
