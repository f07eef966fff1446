/** What is drawn, as plain data in the reader's units: the page carries it, and draws another stretch of it when asked. */

/** A value a row, null where there is none. */
export type Values = readonly (number | null)[];

/** Readings as columns of the same length. */
export interface Rows {
  /** Since the beginning of the plot. */
  readonly minutes: readonly number[];
  readonly rootZone: Values;
  /** Per cent of the time. */
  readonly duty: Values;
  readonly weight: Values;
  /** Per cent: without what the plants weigh, as control has it, and as the scale alone reads it. */
  readonly dryBack: Values;
  readonly rawDryBack: Values;
}
export type RowName = Exclude<keyof Rows, 'minutes'>;
export const ROW_NAMES: readonly RowName[] = [
  'rootZone',
  'duty',
  'weight',
  'dryBack',
  'rawDryBack',
];

/** A stretch of time, in minutes since the beginning of the plot. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Levels that hold for a stretch: a band of the root zone, or shares of dry-back. */
export interface BandStretch extends Stretch {
  readonly low: number;
  readonly high: number;
  readonly night: boolean;
}
export interface LevelStretch extends Stretch {
  readonly level: number;
  readonly what: 'start' | 'stop' | 'rescue';
}

export interface Labelled extends Stretch {
  readonly label: string;
}

/** A dose where it was told, after it had soaked in. */
export interface DoseMark {
  readonly at: number;
  readonly came: boolean;
  readonly label: string;
}

/** What leads to its explanation. */
export interface EventMark extends Stretch {
  readonly label: string;
  /** Place in the page. */
  readonly id: string;
  readonly grave: boolean;
  /** Number of an incident; null of an alarm. */
  readonly number: number | null;
}

export interface Plot {
  /** Unix ms of minute 0; null while no clock was ever set: then days count from there. */
  readonly fromUnixMs: number | null;
  /** Of this place, minutes east of UTC: the page shows the tray's time wherever it is opened. */
  readonly offsetMin: number;
  readonly lengthMin: number;
  readonly temperatureUnit: string;
  readonly massUnit: string;
  readonly rows: Rows;
  readonly bands: readonly BandStretch[];
  readonly levels: readonly LevelStretch[];
  readonly stages: readonly Labelled[];
  readonly lids: readonly Labelled[];
  /** What the grower told the controller. */
  readonly marks: readonly { readonly at: number; readonly label: string }[];
  readonly doses: readonly DoseMark[];
  readonly incidents: readonly EventMark[];
  readonly alarms: readonly EventMark[];
  /** Times of which nothing is known, or in which no tray stood there. */
  readonly blanks: readonly Labelled[];
}
