/** Which stretch of the plot is shown, and what is read where its reader points. Pure: the page draws it. */
import { timeText } from '../plot/axes';
import { rowAt } from '../plot/lines';
import type { Plot, Values } from '../plot/model';

/** Nearer than this nothing more is to be seen, minutes: a reading comes every five. */
const SHOWN_LEAST_MIN = 60;
const DAY_MIN = 1_440;
const MINUTE_MS = 60_000;
/** So near to the end is at the end, minutes. */
const END_MIN = 1;
/** One step of zooming, and of moving as a share of what is shown. */
const ZOOM_STEP = 2;
const MOVE_SHARE = 0.4;

const ACTS = ['in', 'out', 'earlier', 'later', 'day', 'whole'] as const;
export type Act = (typeof ACTS)[number];
export const isAct = (what: string | undefined): what is Act => ACTS.some((act) => act === what);

/** The stretch that is shown, and the minute that its reader points at. */
export class Shown {
  from = 0;
  to: number;
  at: number | null = null;

  constructor(public plot: Plot) {
    this.to = plot.lengthMin;
  }

  /** Shows `next` in its place: the same time of it, or its end where the end was shown. */
  renew(next: Plot): void {
    const { plot, from, to } = this;
    const isAtEnd = to >= plot.lengthMin - END_MIN;
    const laterMin = ((next.fromUnixMs ?? 0) - (plot.fromUnixMs ?? 0)) / MINUTE_MS;
    this.plot = next;
    if (isAtEnd && from === 0) this.show(next.lengthMin, 0, 0);
    else if (isAtEnd) this.show(to - from, next.lengthMin, 1);
    else this.show(to - from, from - laterMin, 0);
    this.at = this.at === null ? null : this.at - laterMin;
  }

  /** Shows so many minutes, with `anchor` at that share of them. */
  show(length: number, anchor: number, share: number): void {
    const { lengthMin } = this.plot;
    const wide = Math.min(lengthMin, Math.max(SHOWN_LEAST_MIN, length));
    this.from = Math.min(lengthMin - wide, Math.max(0, anchor - share * wide));
    this.to = this.from + wide;
  }

  /** Closer by `times` (below 1: further), with `minute` staying where it is. */
  zoom(times: number, minute: number): void {
    const length = this.to - this.from;
    this.show(length / times, minute, (minute - this.from) / length);
  }

  act(what: Act): void {
    const length = this.to - this.from;
    const { at } = this;
    const isSeen = at !== null && at >= this.from && at <= this.to;
    const middle = isSeen ? at : (this.from + this.to) / 2;
    if (what === 'in') this.zoom(ZOOM_STEP, middle);
    else if (what === 'out') this.zoom(1 / ZOOM_STEP, middle);
    else if (what === 'earlier') this.show(length, this.from - MOVE_SHARE * length, 0);
    else if (what === 'later') this.show(length, this.from + MOVE_SHARE * length, 0);
    else if (what === 'day') this.show(DAY_MIN, this.plot.lengthMin, 1);
    else this.show(this.plot.lengthMin, 0, 0);
  }

  /** What is to be read beside the plot. */
  get text(): string {
    const { plot, at, from, to } = this;
    if (at === null) return `Shown: ${timeText(plot, from)} to ${timeText(plot, to)}`;
    return valuesText(plot, at);
  }
}

function valuesText(plot: Plot, minute: number): string {
  const { rows, temperatureUnit, massUnit } = plot;
  const row = rowAt(rows, minute);
  if (row === null) return `${timeText(plot, minute)}: no reading`;
  const value = (list: Values, digits: number, unit: string): string => {
    const one = list[row] ?? null;
    return one === null ? '-' : `${one.toFixed(digits)} ${unit}`;
  };
  return [
    timeText(plot, rows.minutes[row] ?? minute),
    `root zone ${value(rows.rootZone, 1, temperatureUnit)}`,
    `mat ${value(rows.duty, 0, '%')}`,
    value(rows.weight, massUnit === 'g' ? 0 : 2, massUnit),
    `dry-back ${value(rows.dryBack, 1, '%')} (scale alone ${value(rows.rawDryBack, 1, '%')})`,
  ].join(', ');
}
