/** Which stretch of the plots is shown, and what is read where their reader points. Pure: the page draws it. */
import { MINUTE_MS } from '../../../shared/units/time';
import type { Scene } from './scene';

/** Nearer than this nothing more is to be seen, minutes: a reading comes every five. */
const SHOWN_LEAST_MIN = 60;
/** So near to the end is at the end, minutes. */
const END_MIN = 1;
/** One step of zooming, and of moving as a share of what is shown. */
const ZOOM_STEP = 2;
const MOVE_SHARE = 0.4;

const ACTS = ['in', 'out', 'earlier', 'later', 'part', 'whole'] as const;
export type Act = (typeof ACTS)[number];
export const isAct = (what: string | undefined): what is Act => ACTS.some((act) => act === what);

/** The stretch that is shown, and the minute that its reader points at. */
export class Shown {
  from: number;
  to: number;
  at: number | null = null;

  constructor(public scene: Scene) {
    this.from = scene.whole.from;
    this.to = scene.whole.to;
  }

  /** Shows `next` in its place: the same time of it, or its end where the end was shown. */
  renew(next: Scene): void {
    const { scene, from, to } = this;
    const isAtEnd = to >= scene.whole.to - END_MIN;
    const laterMin = ((next.fromUnixMs ?? 0) - (scene.fromUnixMs ?? 0)) / MINUTE_MS;
    this.scene = next;
    const { whole } = next;
    if (isAtEnd && from <= scene.whole.from) this.show(whole.to - whole.from, whole.from, 0);
    else if (isAtEnd) this.show(to - from, whole.to, 1);
    else this.show(to - from, from - laterMin, 0);
    this.at = this.at === null ? null : this.at - laterMin;
  }

  /** Shows so many minutes, with `anchor` at that share of them. */
  show(length: number, anchor: number, share: number): void {
    const { from, to } = this.scene.whole;
    const wide = Math.min(to - from, Math.max(SHOWN_LEAST_MIN, length));
    this.from = Math.min(to - wide, Math.max(from, anchor - share * wide));
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
    const { part, whole } = this.scene;
    const isSeen = at !== null && at >= this.from && at <= this.to;
    const middle = isSeen ? at : (this.from + this.to) / 2;
    if (what === 'in') this.zoom(ZOOM_STEP, middle);
    else if (what === 'out') this.zoom(1 / ZOOM_STEP, middle);
    else if (what === 'earlier') this.show(length, this.from - MOVE_SHARE * length, 0);
    else if (what === 'later') this.show(length, this.from + MOVE_SHARE * length, 0);
    else {
      const { from, to } = what === 'part' ? part : whole;
      this.show(to - from, from, 0);
    }
  }

  /** What is to be read beside the plots. */
  get text(): string {
    const { scene, at } = this;
    return at === null ? scene.spanText(this) : scene.readText(at);
  }
}
