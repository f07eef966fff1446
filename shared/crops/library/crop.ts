/**
 * A crop as published tables know it: what it bears, how long it takes, what it wants. Each number has
 * its source beside it, ranges stay ranges, and what nobody published is an empty list. Plain data.
 */

/** From `low` to `high`, in the unit its name says; the same twice where a source gives one number. */
export interface Range {
  readonly low: number;
  readonly high: number;
}

/** What one source says; `source` is its short name, see `sourceNamed`. */
export interface SourcedRange extends Range {
  readonly source: string;
}

/** What each source says of one thing, the most trusted first; empty where nobody published it. */
export type Published = readonly SourcedRange[];

/** How far a source goes: printed by somebody who is named, the trade's habit, or remembered. */
export const STANDINGS = ['published', 'common-practice', 'from-memory'] as const;
export type Standing = (typeof STANDINGS)[number];

export interface CropSource {
  /** As it stands beside numbers. */
  readonly name: string;
  /** Where to find it. */
  readonly citation: string;
  readonly standing: Standing;
}

export const CROP_KINDS = [
  'fruiting',
  'leafy',
  'brassica',
  'root',
  'bulb',
  'legume',
  'herb',
  'flower',
] as const;
export type CropKind = (typeof CROP_KINDS)[number];

/** Cardinal temperatures of the root zone while the seed comes up, degrees Celsius. */
export interface CardinalTemperatures {
  /** Below, most seed rots before it comes up; null where the source gives no limit. */
  readonly minC: number | null;
  readonly bestLowC: number;
  readonly bestHighC: number;
  /** Above, most seed fails or goes dormant; null likewise. */
  readonly maxC: number | null;
  readonly source: string;
}

/** What a trial at one temperature (or over a span of it) gave. `null` was not tested or not recorded, which is not 0. */
export interface TrialRow {
  readonly atC: Range;
  /** Days from sowing to emergence; `never` where the source says that none came up. */
  readonly days: Range | 'never' | null;
  /** Normal seedlings, share of the seed sown. */
  readonly normalShare: number | null;
}

/** One source's rows, coldest first. */
export interface Trials {
  readonly source: string;
  readonly rows: readonly TrialRow[];
}

/** In the order a crop goes through them; a cutting has `callus` and `root` in place of `germinate`. */
export const CROP_STAGES = ['germinate', 'callus', 'root', 'seedling', 'grow', 'harden'] as const;
export type CropStageName = (typeof CROP_STAGES)[number];

export interface CropStage {
  readonly name: CropStageName;
  /** How long it lasts. Empty for `germinate`: see `emergence`. */
  readonly days: Published;
  readonly rootZoneC: Published;
  readonly airDayC: Published;
  readonly airNightC: Published;
  /** Strength of the feed given, mS/cm at 25 C. */
  readonly feedEcMsCm: Published;
  /** Nitrogen of the feed given, mg/l: what most tables tell in place of an EC. */
  readonly feedNMgL: Published;
  /** Daily light integral, mol/m2 a day; one number where the source gives the least or the best. */
  readonly dliMolM2D: Published;
}

/** Days from sticking a cutting. */
export interface Rooting {
  readonly callusDays: Published;
  /** First roots seen. */
  readonly rootsDays: Published;
}

/** Size and pace of seedlings, for the simulated tray. */
export interface Growth {
  /** Cotyledons of one seedling, cm2. */
  readonly firstLeafCm2: number;
  /** Leaf that goes with a gram of fresh plant, root included, cm2. */
  readonly leafCm2PerG: number;
  /** Dry matter, share of fresh mass. */
  readonly dryShare: number;
  /** Growth begins at the one temperature and is in full swing at the other, C. */
  readonly growthBaseC: number;
  readonly growthFullC: number;
  /** Stands in for trials where none were published, on the bench alone; empty where they were. */
  readonly seed: readonly TrialRow[];
  readonly source: string;
}

export interface Crop {
  /** One lower-case word or several: what a profile's `crop:` and the command line say. */
  readonly name: string;
  /** Other names that growers use. */
  readonly also: readonly string[];
  readonly latin: string;
  readonly kind: CropKind;
  /** What it is begun from. */
  readonly from: 'seed' | 'cutting';
  /** False for what is sown where it stays, because moving spoils it. */
  readonly isTransplanted: boolean;
  /** A sentence or two that a grower should know; empty for none. */
  readonly note: string;
  /** `profile check` holds a band to the first that has a limit, and advises by the best of all. */
  readonly temperatures: readonly CardinalTemperatures[];
  /** The first is what thermal time is fitted to. */
  readonly trials: readonly Trials[];
  /** Of a cutting; null for seed. */
  readonly rooting: Rooting | null;
  readonly stages: readonly CropStage[];
  /** From sowing or sticking until it is planted out or on, in days. */
  readonly daysToTransplant: Published;
  /** Cells of a tray of 10 x 20 in. */
  readonly cellsPerTray: Published;
  /** Between plants in a row, and between rows, where it is planted out, mm. */
  readonly inRowMm: Published;
  readonly betweenRowsMm: Published;
  /** Null where the simulated tray does not know how it grows. */
  readonly growth: Growth | null;
}
