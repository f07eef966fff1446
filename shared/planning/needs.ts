/** What a batch takes: seed, plugs, trays, mat, light, feed and stock. Pure. */

import { MS_CM_PER_MG_L_N, mildly } from '../crops/ladder';
import type { Crop, Range, SourcedRange } from '../crops/library/crop';
import { emergence } from '../crops/library/emergence';
import { feedStep } from '../physics/feed';
import { hoursForSum } from '../physics/light';
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
}

/** Trials scatter by so much; a smaller loss is none. */
const LOSS_NOTED = 0.1;

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
  return accept({ plants, germination, reduced, seeds: seeds.value, trays, inLastTray });
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
  return share < 1 - LOSS_NOTED ? { share, source: first.source } : null;
}

export interface Needs {
  /** Days on which the mat has to warm; 0 without one. */
  readonly matDays: number;
  /** Light after emergence. */
  readonly light: {
    readonly dliMol: number;
    readonly hoursPerDay: number;
    readonly days: number;
    readonly hours: number;
  };
  /** Feed that soaks the wool, and that is given later, ml. */
  readonly soakMl: number;
  readonly givenMl: Range;
  /** Strength that most trusted sources give; null where nobody published any. */
  readonly feedEc: SourcedRange | null;
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
  const lit = litDays(spans);
  const dliMol = usualLight(spans);
  const hours = hoursForSum(dliMol, request.ppfdUmol);
  if (!hours.ok) return decline(`${crop.name} wants ${dliMol} mol/m2/d. ${hours.why}`);
  const wetShare = seed.seeds / request.cellsPerTray;
  const soakMl = TRAY.woolHoldsMl * wetShare;
  const givenMl = givenFeed(spans, wetShare, feedFrom);
  const feedEc = feedStrength(crop);
  return accept({
    matDays:
      request.mat === null
        ? 0
        : spans
            .filter(({ needsMat }) => needsMat)
            .reduce((sum, { from, to }) => sum + to - from, 0),
    light: { dliMol, hoursPerDay: hours.value, days: lit, hours: lit * hours.value },
    soakMl,
    givenMl,
    feedEc,
    stockEachMl:
      feedEc === null
        ? null
        : {
            low: stockFor(soakMl + givenMl.low, feedEc, request),
            high: stockFor(soakMl + givenMl.high, feedEc, request),
          },
  });
}

const isLit = ({ name }: StageSpan): boolean => name !== 'germinate' && name !== 'callus';
const litDays = (spans: readonly StageSpan[]): number =>
  spans.filter(isLit).reduce((sum, { from, to }) => sum + to - from, 0);

/** Light that the first lit stage with any wants: lamps are hung once. */
function usualLight(spans: readonly StageSpan[]): number {
  const wanted = spans.find((span) => isLit(span) && span.dliMolM2D !== null)?.dliMolM2D ?? null;
  return wanted === null ? WATER_USE.usualLightMol : middle(wanted);
}

/** Feed given by dry-back: what leaves, wool and leaves, comes back. The seedlings' own water counts for nothing yet. */
function givenFeed(spans: readonly StageSpan[], wetShare: number, feedFrom: Day): Range {
  let low = 0;
  let high = 0;
  for (const span of spans) {
    const days = span.to - Math.max(span.from, feedFrom);
    if (days <= 0) continue;
    const mol = span.dliMolM2D === null ? WATER_USE.usualLightMol : middle(span.dliMolM2D);
    const lidShare = span.name === 'seedling' || span.name === 'root' ? WATER_USE.underLidShare : 1;
    // A millimetre on a square metre is a litre.
    const perMm = mol * days * lidShare * TRAY.areaM2 * wetShare * 1000;
    low += perMm * WATER_USE.lowMmPerMol;
    high += perMm * WATER_USE.highMmPerMol;
  }
  return { low, high };
}

/** Who says that a first feed is mild. */
const MILD_SOURCE = 'Common practice';

/** What the first stage that is fed wants, as mild as a first feed has to be, by the first source; where only its nitrogen is told, by that. */
function feedStrength({ stages }: Crop): SourcedRange | null {
  for (const { name, feedEcMsCm, feedNMgL } of stages) {
    const held = (range: SourcedRange): SourcedRange => ({
      low: mildly(name, range.low),
      high: mildly(name, range.high),
      source: mildly(name, range.high) < range.high ? MILD_SOURCE : range.source,
    });
    const [ec] = feedEcMsCm;
    if (ec !== undefined) return held(ec);
    const [nitrogen] = feedNMgL;
    if (nitrogen !== undefined) {
      return held({
        low: nitrogen.low * MS_CM_PER_MG_L_N,
        high: nitrogen.high * MS_CM_PER_MG_L_N,
        source: nitrogen.source,
      });
    }
  }
  return null;
}

/** Stock in pure water, so rather more than less: the water's own EC counts towards the target. */
function stockFor(volumeMl: number, feedEc: Range, { stock }: PlanRequest): number {
  const step = feedStep({ volumeMl, ecMsCm: 0, roomMl: null }, middle(feedEc), 0, stock);
  return step.ok && step.value.add === 'stock' ? step.value.eachMl : 0;
}
