/**
 * A crop's program as the board knows it: what the profile image carries, and nothing else.
 * Plain data without zod; the host's rich YAML form is compiled to this (see `host/`).
 */

/** How water is given in a stage. `hold`: none. `weigh`: by dry-back, each dose proved by the scale. */
export const STAGE_KINDS = ['hold', 'weigh'] as const;
export type StageKind = (typeof STAGE_KINDS)[number];

/** Kinds whose stages water by themselves: they own their doses, and need what dosing needs. */
const WATERS: Readonly<Record<StageKind, boolean>> = { hold: false, weigh: true };

/** Whether the stage waters by itself. Null: none runs, so nothing waters. */
export const waters = (stage: { readonly kind: StageKind } | null): boolean =>
  stage !== null && WATERS[stage.kind];

/** What the grower tells the controller. The order is the code in images and journal: append only. */
export const MARKS = [
  'dry',
  'soaked',
  'sown',
  'emerged',
  'vented',
  'transplanted',
  'refilled',
  'moved',
] as const;
export type Mark = (typeof MARKS)[number];

/** Where the lid should be in a stage: advice to the grower, shown at each change. Append only. */
export const LID_PLACES = [
  'closed',
  'vents-open',
  'loose',
  'propped',
  'off-by-day',
  'off',
] as const;
export type LidPlace = (typeof LID_PLACES)[number];

/** Hysteresis band, degrees Celsius: mat on below `lowC`, off above `highC`. */
export interface Band {
  readonly lowC: number;
  readonly highC: number;
}

/** Stone-wool pieces on the scale. */
export interface Medium {
  readonly name: string;
  readonly pieces: number;
  /** Outer volume of one piece. */
  readonly pieceMl: number;
  /** Bulk density of the dry wool, kg/m3 (the same number in g/l). */
  readonly bulkDensityKgM3: number;
  /** Share of the volume that is water at container capacity, 0..1. */
  readonly capacityShare: number;
}

/** What leads a dose from the tube to every piece in the tray. Append only. */
export const SPREAD_WAYS = ['capillary-matting', 'drilled-manifold', 'channels'] as const;
export type SpreadWay = (typeof SPREAD_WAYS)[number];

/** How water reaches every piece. It lies on the scale with the tray, wet or dry. */
export interface Spread {
  readonly by: SpreadWay;
  /** Area that one dose goes over, m2. */
  readonly areaM2: number;
  /** Its own mass when dry, g. */
  readonly dryG: number;
  /** Water that stays in it at container capacity, ml: dead water, on the scale but in no piece. */
  readonly holdsMl: number;
  /** Holes of a drilled manifold; 0 for the other ways. */
  readonly outlets: number;
}

/** How a `weigh` stage doses. Shares are dry-back, 0..1 of the container-capacity water. */
export interface Watering {
  readonly startShare: number;
  readonly stopShare: number;
  readonly doseMl: number;
  readonly soakInS: number;
  readonly maxDayMl: number;
  readonly maxStageMl: number;
}

/**
 * Water with which a stage opens: its first watering comes at the latest `byS` after the stage began
 * (0: at once), whatever the dry-back, with one whole dose at least, and goes on down to `stopShare`.
 * Caps, proofs, holds and the limit on filling above container capacity hold for it as for any dose.
 */
export interface Opening {
  readonly byS: number;
  readonly stopShare: number;
}

/** A hold's answer to a tray that gets too dry. `doseMl` 0: alarm only. */
export interface Rescue {
  readonly share: number;
  readonly doseMl: number;
}

/** When a stage ends: after its run time, by a mark, or by whichever comes first. Neither: never. */
export interface StageEnd {
  /** Run time in seconds, 0 for none. */
  readonly afterS: number;
  readonly mark: Mark | null;
}

export interface Stage {
  readonly name: string;
  readonly kind: StageKind;
  readonly band: Band;
  /** Band between `Profile.night` hours, where the profile has one. */
  readonly nightBand: Band | null;
  /** Present in `weigh` stages only. */
  readonly watering: Watering | null;
  /** In `weigh` stages only; null: the first watering waits for the start share like any other. */
  readonly opening: Opening | null;
  /** Dry-back that raises the alarm `too-dry`; in a hold it may give one small dose. */
  readonly rescue: Rescue;
  readonly end: StageEnd;
  readonly lid: LidPlace;
  /** Index into `Profile.media`. */
  readonly medium: number;
  /** Feed strength the grower should mix for this stage, mS/cm at 25 C; 0: plain water or none. */
  readonly feedEc: number;
}

/** Hours of the day, minutes after local midnight. `startMin` may be later than `endMin`. */
export interface DayWindow {
  readonly startMin: number;
  readonly endMin: number;
}

export interface Profile {
  readonly crop: string;
  readonly title: string;
  /** Root-zone alarm limit, degrees Celsius, at most 38. */
  readonly rootZoneMaxC: number;
  readonly reservoirMl: number;
  /** Null: not told; a dose may then reach the pieces at the tube's end only. */
  readonly spread: Spread | null;
  readonly night: DayWindow | null;
  /** No dose is started in these hours; null: none. */
  readonly quiet: DayWindow | null;
  /** Minutes east of UTC for `night` and `quiet`, as on the laptop that compiled the profile. */
  readonly utcOffsetMin: number;
  readonly media: readonly Medium[];
  readonly stages: readonly Stage[];
}
