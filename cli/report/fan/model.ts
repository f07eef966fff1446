/** What is drawn of many rehearsals of one season, as plain data in the reader's units: the page carries it. */
import type { Stretch, Values } from '../plot/model';

/** Shares of the rehearsals below each line of a fan, per cent. */
export const FAN_PERCENTS = [5, 25, 50, 75, 95] as const;
export type FanPercent = (typeof FAN_PERCENTS)[number];

/** One quantity over time: a value for each line, null where too few rehearsals know one. */
export type FanLines = { readonly [Percent in FanPercent]: Values };

/** The quantities, in the order in which they are drawn and read. */
export const FAN_NAMES = ['rootZone', 'dryBack', 'each', 'reservoir', 'standing'] as const;
export type FanName = (typeof FAN_NAMES)[number];

/** A thing that comes once in a season: between which minutes since sowing, and in how many of the rehearsals. */
export interface SpanMark {
  readonly least: number;
  readonly middle: number;
  readonly most: number;
  /** In a word or two, beside its span. */
  readonly label: string;
  /** The same with its days and all else, for whoever points at it: it begins with the label (WCAG 2.2, 2.5.3). */
  readonly says: string;
  /** Place in the page that tells more; null: there is none. */
  readonly id: string | null;
}

/** The root zone's band in force, the middle one of the rehearsals. */
export interface MiddleBand extends Stretch {
  readonly low: number;
  readonly high: number;
}

export interface Fan {
  readonly rehearsals: number;
  /** From sowing to the end of the longest rehearsal. */
  readonly lengthMin: number;
  readonly temperatureUnit: string;
  /** Of what each plant is given, and of what the reservoir holds. */
  readonly eachUnit: string;
  readonly reservoirUnit: string;
  /** Since sowing: the times of all values. */
  readonly minutes: readonly number[];
  readonly lines: { readonly [Name in FanName]: FanLines };
  readonly bands: readonly MiddleBand[];
  /** What the grower does, what the tray does by itself, and what it warns of. */
  readonly tasks: readonly SpanMark[];
  readonly events: readonly SpanMark[];
  readonly alarms: readonly SpanMark[];
}
