/** What a batch takes: seed, plugs, trays, mat, light, feed and stock. Pure. */
import type { Crop, CropStageName, Range, SourcedRange } from '../crops/library/crop';
import { emergence } from '../crops/library/emergence';
import { feedStep } from '../physics/feed';
import { hoursForSum, LIGHT_LIMITS } from '../physics/light';
import { type PieceSize, soakOf } from '../physics/soak';
import { accept, decline, type Verdict } from '../physics/verdict';
import { seedsFor } from '../statistics/binomial';
import type { Day } from './calendar-day';
import { PLAN_DEFAULTS, TRAY, WATER_USE } from './limits';
import { middle, type Room } from './pace';
import type { PlanRequest } from './request';
import type { StageSpan } from './stages';

export interface SeedNeed {
  /** Plants wanted, spare ones too. */
  readonly plants: number;
  /** Share that comes up, as it was reckoned with, 0..1. */
  readonly germination: number;
  /** In this root zone less of the seed comes up than at best: share of the best, and who says so; else null. */
  readonly reduced: { readonly share: number; readonly source: string } | null;
  /** Or cuttings; one a plug. */
  readonly seeds: number;
  readonly trays: number;
  /** Plugs in the last tray. */
  readonly inLastTray: number;
  /** What it is sown in, one seed each. */
  readonly plug: PieceSize;
}

/** Printed to a whole percent: a smaller loss is none. */
const LOSS_LEAST = 0.01;

/** Seeds, plugs and trays. Refuses numbers that cannot be, with the range allowed. */
export function seedNeed(crop: Crop, request: PlanRequest, rootZone: Room): Verdict<SeedNeed> {
  const reduced = lossIn(crop, rootZone);
  const told = request.germination ?? PLAN_DEFAULTS.germination;
  const germination = told * (reduced?.share ?? 1);
  const plants = Math.ceil(request.plants * (1 + request.spareShare) - ROUNDING);
  const seeds = seedsFor(plants, germination, request.certainty);
  if (!seeds.ok) return seeds;
  const trays = Math.ceil(seeds.value / request.cellsPerTray);
  const inLastTray = seeds.value - (trays - 1) * request.cellsPerTray;
  const plug = request.plug ?? usualPlug(request.cellsPerTray);
  const fit = Math.floor((TRAY.areaMostM2 * 1e6) / (plug.lengthMm * plug.widthMm));
  if (request.cellsPerTray > fit)
    return decline(
      `No tray has room for ${request.cellsPerTray} plugs of that size: the largest take ${fit}. Say with --trays how many fill yours.`,
    );
  return accept({ plants, germination, reduced, seeds: seeds.value, trays, inLastTray, plug });
}

/** Plugs stand as close in every tray, and are as high: those of 98 are of 36 mm, of 200 of 25 mm. */
export function usualPlug(cellsPerTray: number): PieceSize {
  const wideMm = Math.min(TRAY.plugWideMostMm, Math.sqrt(TRAY.woolMm2 / cellsPerTray));
  return { lengthMm: wideMm, widthMm: wideMm, heightMm: TRAY.plugHighMm };
}

/** 60 and a twentieth of it are 63, whatever floating point makes of it. */
const ROUNDING = 1e-9;

/** Share of the best germination that a trial saw in this root zone; null where it is about all, or nobody tried. */
function lossIn(crop: Crop, { nightC, dayC }: Room): SeedNeed['reduced'] {
  const found = [nightC, dayC].map((atC) => emergence(crop, atC));
  const normals = found.flatMap((one) => (one.ok ? (one.value.normal ?? []) : []));
  const [first] = normals;
  if (first === undefined || normals.length < found.length) return null;
  const rows = crop.trials.find(({ source }) => source === first.source)?.rows ?? [];
  const best = Math.max(...rows.map(({ normalShare }) => normalShare ?? 0));
  const share = normals.reduce((sum, one) => sum + one.share, 0) / normals.length / best;
  return share < 1 - LOSS_LEAST ? { share, source: first.source } : null;
}

/** Light of one day: the sum, mol/m2, and hours of the lamp for it, 24 where even these give less. */
export interface DayLight {
  readonly dliMol: number;
  readonly hoursPerDay: number;
}

export interface Needs {
  /** Days on which the mat has to warm; 0 without one. */
  readonly matDays: number;
  /** Light after emergence: of the first stage that tells, and of the one that wants most, where it wants more. */
  readonly light: DayLight & {
    readonly most: (DayLight & { readonly stage: CropStageName }) | null;
    readonly days: number;
    readonly hours: number;
  };
  /** Feed to mix for soaking the plugs, as `soakOf` has it, and what is given later, ml. */
  readonly soakMl: number;
  readonly givenMl: Range;
  /** Strength of the first feed, and of the strongest; null where nobody published any. */
  readonly feedEc: SourcedRange | null;
  readonly strongestEc: SourcedRange | null;
  /** Of each part of the stock for all of it, ml; null where the strength is not known. */
  readonly stockEachMl: Range | null;
}

/** What the batch takes from sowing until it is ready. Refuses a light too weak for the crop in a whole day. */
export function batchNeeds(
  crop: Crop,
  request: PlanRequest,
  seed: SeedNeed,
  spans: readonly StageSpan[],
  feedFrom: Day,
): Verdict<Needs> {
  const light = lightNeed(spans, request.ppfdUmol);
  if (!light.ok) return decline(`${crop.name} wants ${usualLight(spans)} mol/m2/d. ${light.why}`);
  const wetShare = seed.seeds / request.cellsPerTray;
  const soak = soakOf(seed.plug, 1);
  if (!soak.ok) return decline(soak.why);
  const soakMl = soak.value.mixMl * seed.seeds;
  const given = givenFeed(spans, wetShare, feedFrom);
  const fed = spans.flatMap(({ feedEc }) => feedEc ?? []);
  const feedEc = fed[0] ?? null;
  return accept({
    matDays:
      request.mat === null
        ? 0
        : spans
            .filter(({ needsMat }) => needsMat)
            .reduce((sum, { from, to }) => sum + to - from, 0),
    light: light.value,
    soakMl,
    givenMl: { low: sumOf(given, ({ low }) => low), high: sumOf(given, ({ high }) => high) },
    feedEc,
    strongestEc: fed.reduce<SourcedRange | null>(
      (most, one) => (most === null || middle(one) > middle(most) ? one : most),
      null,
    ),
    stockEachMl:
      feedEc === null
        ? null
        : {
            low: stockFor(soakMl, feedEc, request) + sumOf(given, stockOf('low', feedEc, request)),
            high:
              stockFor(soakMl, feedEc, request) + sumOf(given, stockOf('high', feedEc, request)),
          },
  });
}

const sumOf = <T>(list: readonly T[], of: (one: T) => number): number =>
  list.reduce((sum, one) => sum + of(one), 0);

const isLit = ({ name }: StageSpan): boolean => name !== 'germinate' && name !== 'callus';

/** Light that the first lit stage with any wants. */
function usualLight(spans: readonly StageSpan[]): number {
  const wanted = spans.find((span) => isLit(span) && span.dliMolM2D !== null)?.dliMolM2D ?? null;
  return wanted === null ? WATER_USE.usualLightMol : middle(wanted);
}

/** Refuses a lamp that is too weak for the first stage in a whole day; a later one gets the whole day then. */
function lightNeed(spans: readonly StageSpan[], ppfdUmol: number): Verdict<Needs['light']> {
  const firstMol = usualLight(spans);
  const first = hoursForSum(firstMol, ppfdUmol);
  if (!first.ok) return first;
  const days = spans.filter(isLit).map((span) => {
    const dliMol = span.dliMolM2D === null ? firstMol : middle(span.dliMolM2D);
    const hours = hoursForSum(dliMol, ppfdUmol);
    const hoursPerDay = hours.ok ? hours.value : LIGHT_LIMITS.hoursMost;
    return { stage: span.name, dliMol, hoursPerDay, days: span.to - span.from };
  });
  const [most] = [...days].sort((a, b) => b.dliMol - a.dliMol);
  return accept({
    dliMol: firstMol,
    hoursPerDay: first.value,
    most:
      most === undefined || most.dliMol < firstMol * (1 + LIGHT_NOTED)
        ? null
        : { stage: most.stage, dliMol: most.dliMol, hoursPerDay: most.hoursPerDay },
    days: sumOf(days, (one) => one.days),
    hours: sumOf(days, (one) => one.days * one.hoursPerDay),
  });
}

/** Light that is stronger by less is the same. */
const LIGHT_NOTED = 0.1;

/** Feed given by dry-back: what leaves, wool and leaves, comes back. The seedlings' own water counts for nothing yet. */
function givenFeed(
  spans: readonly StageSpan[],
  wetShare: number,
  feedFrom: Day,
): readonly (Range & Pick<StageSpan, 'feedEc'>)[] {
  return spans.flatMap((span) => {
    const days = span.to - Math.max(span.from, feedFrom);
    if (days <= 0) return [];
    const mol = span.dliMolM2D === null ? WATER_USE.usualLightMol : middle(span.dliMolM2D);
    const lidShare = span.name === 'seedling' || span.name === 'root' ? WATER_USE.underLidShare : 1;
    // A millimetre on a square metre is a litre.
    const perMm = mol * days * lidShare * TRAY.areaM2 * wetShare * 1000;
    const { feedEc } = span;
    return [{ low: perMm * WATER_USE.lowMmPerMol, high: perMm * WATER_USE.highMmPerMol, feedEc }];
  });
}

/** Stock for what is given in a stage; where nobody published its strength, as the first feed. */
const stockOf =
  (end: 'low' | 'high', firstEc: Range, request: PlanRequest) =>
  (given: Range & Pick<StageSpan, 'feedEc'>): number =>
    stockFor(given[end], given.feedEc ?? firstEc, request);

/** Stock in pure water, so rather more than less: the water's own EC counts towards the target. */
function stockFor(volumeMl: number, feedEc: Range, { stock }: PlanRequest): number {
  const step = feedStep({ volumeMl, ecMsCm: 0, roomMl: null }, middle(feedEc), 0, stock);
  return step.ok && step.value.add === 'stock' ? step.value.eachMl : 0;
}
