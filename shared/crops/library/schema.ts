/**
 * A crop file as it is written: YAML, each number with its unit and its source on one line, such as
 * `5 to 6 weeks [Univ. of Delaware]`. Checked and turned into numbers by one zod schema. Host only.
 */
import * as z from 'zod';
import { parseQuantity, type QuantityKind } from '../../units';
import { DAY_S } from '../../units/time';
import {
  CROP_KINDS,
  CROP_STAGES,
  type Crop,
  type CropStage,
  type Published,
  type Range,
  STANDINGS,
  type TrialRow,
} from './crop';

/** What is measured, and how its text becomes a number of the unit in the crop's field. */
type Measure = (text: string) => number | string;

/** Far more than any source has, and fewer than the arithmetic of units spoils. */
const DECIMALS = 9;

/** A quantity of the program, divided by `per`; else the sentence that says why not. */
const quantity =
  (kind: QuantityKind, per = 1): Measure =>
  (text) => {
    const parsed = parseQuantity(kind, text);
    // 95 F is 35 C and not a hair more: limits are compared.
    return parsed.ok ? Number((parsed.value / per).toFixed(DECIMALS)) : parsed.why;
  };

/** A plain number before `unit`. */
const counted =
  (unit: string): Measure =>
  (text) => {
    const [number = '', ...rest] = text.split(' ');
    if (/^\d+(\.\d+)?$/.test(number) && rest.join(' ') === unit) return Number(number);
    return `"${text}" is not a number and "${unit}".`;
  };

const temperature = quantity('temperature');
const days = quantity('duration', DAY_S);
const ec = quantity('ec');
const length = quantity('length');
const share = quantity('share');
const light = counted('mol/m2/d');
const nitrogen = counted('mg/l');
const cells = counted('cells');

/** `70 to 80 F`, or `75 F`, as a range; else what is wrong with it. */
function rangeOf(text: string, measure: Measure): Range | string {
  const [, from = '', to, unit = ''] = /^(\S+)(?: to (\S+))? (.+)$/.exec(text) ?? [];
  const low = measure(`${from} ${unit}`);
  const high = measure(`${to ?? from} ${unit}`);
  if (typeof low === 'string') return low;
  if (typeof high === 'string') return high;
  return low <= high ? { low, high } : `"${text}" goes from more to less.`;
}

const range = (measure: Measure) =>
  z.string().transform((text, context): Range => {
    const read = rangeOf(text, measure);
    if (typeof read !== 'string') return read;
    context.addIssue({ code: 'custom', message: read });
    return z.NEVER;
  });

const single = (measure: Measure) =>
  z.string().transform((text, context): number => {
    const read = measure(text);
    if (typeof read !== 'string') return read;
    context.addIssue({ code: 'custom', message: read });
    return z.NEVER;
  });

/** One line `VALUE [SOURCE]`, or a list of them; nothing where the key is absent. */
const published = (measure: Measure) =>
  z
    .union([z.string().transform((one) => [one]), z.array(z.string())])
    .default([])
    .transform(
      (lines, context): Published =>
        lines.map((line) => {
          const [, text, source] = /^(.+) \[([^[\]]+)\]$/.exec(line) ?? [];
          const read = text === undefined ? `"${line}" has no [source].` : rangeOf(text, measure);
          if (typeof read !== 'string' && source !== undefined) return { ...read, source };
          context.addIssue({ code: 'custom', message: String(read) });
          return z.NEVER;
        }),
    );

const sourceName = z.string().min(1);

const temperatures = z
  .strictObject({
    min: single(temperature).optional(),
    best: range(temperature),
    max: single(temperature).optional(),
    source: sourceName,
  })
  .transform(({ min, best, max, source }) => ({
    minC: min ?? null,
    bestLowC: best.low,
    bestHighC: best.high,
    maxC: max ?? null,
    source,
  }));

const trialRow = z
  .strictObject({
    at: range(temperature),
    days: z.union([z.literal('none'), range(days)]).optional(),
    normal: single(share).optional(),
  })
  .transform(
    (row): TrialRow => ({
      atC: row.at,
      days: row.days === 'none' ? 'never' : (row.days ?? null),
      normalShare: row.normal ?? null,
    }),
  );

const stage = z
  .strictObject({
    name: z.enum(CROP_STAGES),
    days: published(days),
    root_zone: published(temperature),
    air_day: published(temperature),
    air_night: published(temperature),
    feed_ec: published(ec),
    feed_n: published(nitrogen),
    light: published(light),
  })
  .transform(
    (one): CropStage => ({
      name: one.name,
      days: one.days,
      rootZoneC: one.root_zone,
      airDayC: one.air_day,
      airNightC: one.air_night,
      feedEcMsCm: one.feed_ec,
      feedNMgL: one.feed_n,
      dliMolM2D: one.light,
    }),
  );

const rooting = z
  .strictObject({ callus: published(days), roots: published(days) })
  .transform(({ callus, roots }) => ({ callusDays: callus, rootsDays: roots }));

const growth = z
  .strictObject({
    first_leaf_cm2: z.number().positive(),
    leaf_cm2_per_g: z.number().positive(),
    dry: single(share),
    base: single(temperature),
    full: single(temperature),
    seed: z.array(trialRow).default([]),
    source: sourceName,
  })
  .transform((one) => ({
    firstLeafCm2: one.first_leaf_cm2,
    leafCm2PerG: one.leaf_cm2_per_g,
    dryShare: one.dry,
    growthBaseC: one.base,
    growthFullC: one.full,
    seed: one.seed,
    source: one.source,
  }));

const citation = z.strictObject({ citation: z.string().min(1), standing: z.enum(STANDINGS) });

/** Sources by the short name that stands beside numbers. */
export const sourcesFile = z.record(sourceName, citation);

export const cropFile = z
  .strictObject({
    crop: z.string().regex(/^[a-z]+( [a-z]+)*$/, 'A name is of lower-case words.'),
    also: z.array(z.string()).default([]),
    latin: z.string(),
    kind: z.enum(CROP_KINDS),
    from: z.enum(['seed', 'cutting']),
    transplanted: z.boolean(),
    note: z.string().default(''),
    temperatures: z.array(temperatures).default([]),
    trials: z
      .array(z.strictObject({ source: sourceName, rows: z.array(trialRow).min(1) }))
      .default([]),
    rooting: rooting.optional(),
    stages: z.array(stage).min(1),
    to_transplant: published(days),
    cells: published(cells),
    in_row: published(length),
    between_rows: published(length),
    growth: growth.optional(),
    /** What this file cites and `sources.yaml` does not have. */
    sources: sourcesFile.default({}),
  })
  .transform(({ sources, ...file }): { crop: Crop; sources: z.infer<typeof sourcesFile> } => ({
    sources,
    crop: {
      name: file.crop,
      also: file.also,
      latin: file.latin,
      kind: file.kind,
      from: file.from,
      isTransplanted: file.transplanted,
      note: file.note,
      temperatures: file.temperatures,
      trials: file.trials,
      rooting: file.rooting ?? null,
      stages: file.stages,
      daysToTransplant: file.to_transplant,
      cellsPerTray: file.cells,
      inRowMm: file.in_row,
      betweenRowsMm: file.between_rows,
      growth: file.growth ?? null,
    },
  }));
