/**
 * How fast the tray dries, held against what the lid's place has meant so far: a lid left off in
 * germination shows here within half an hour, and in dry-back only when the seed is dead. A tray that dries no
 * more, day and night, where it used to: it is not weighed any more, or does not lie free.
 */
import type { LidPlace } from '../../shared/profile/profile';
import { MINUTE_MS } from '../../shared/units/time';
import { condition, type Finding } from './finding';
import { DRYING_LIMITS as LIMITS } from './limits';
import { MinuteHistory } from './minute-history';

const SPAN_MIN = LIMITS.spanMs / MINUTE_MS;
const PER_HOUR = 60 / SPAN_MIN;

/** What warms the tray besides what dries it. */
export interface Warmth {
  /** Degrees Celsius; NaN while unknown. */
  readonly rootZoneC: number;
  readonly matOn: boolean;
}

/** Watches the drying rate of one tray, an undisturbed minute at a time. */
export class DryingWatch {
  readonly #history = new MinuteHistory(SPAN_MIN + 1);
  readonly #sun = new Sun();
  #lid: LidPlace | null = null;
  /** Usual rate under this lid, g/h; NaN until it is known. */
  #usualGPerH = Number.NaN;
  /** For how many minutes it has been learnt. */
  #learntMin = 0;
  #present = false;
  readonly #stop = new Standstill();

  #gPerH = Number.NaN;

  /** Rate over the last 25 minutes, g/h; NaN while unknown. */
  get gPerH(): number {
    return this.#gPerH;
  }

  /** Usual rate under the lid as it should be now, g/h; NaN while unknown. */
  get usualGPerH(): number {
    return this.#usualGPerH;
  }

  /** One undisturbed minute more, at `trayG`, the lid where the stage wants it (null before sowing). */
  minute(trayG: number, lid: LidPlace | null, warmth: Warmth): readonly Finding[] {
    if (lid !== this.#lid) {
      this.#lid = lid;
      this.#usualGPerH = Number.NaN;
      this.#learntMin = 0;
      this.#present = false;
      this.#stop.restart();
      this.interrupt();
      return [condition('drying-fast', false), condition('drying-stopped', false)];
    }
    if (lid === null) return [];
    this.#history.push(trayG);
    const known = this.#learntMin >= LIMITS.knownMin;
    const stopped = this.#stop.minute(trayG, known ? this.#usualGPerH : Number.NaN);
    this.#gPerH = (this.#history.ago(SPAN_MIN) - trayG) * PER_HOUR;
    const sunny = this.#sun.minute(warmth);
    if (Number.isNaN(this.#gPerH)) return [stopped];
    const usualGPerH = Number.isNaN(this.#usualGPerH) ? 0 : this.#usualGPerH;
    // What was told before the sun came stays told.
    const sunGPerH = sunny && !this.#present ? LIMITS.sunGPerH : 0;
    const limitGPerH = Math.max(LIMITS.leastGPerH[lid], LIMITS.usualTimes * usualGPerH) + sunGPerH;
    this.#present = this.#present
      ? this.#gPerH > limitGPerH * LIMITS.backShare
      : this.#gPerH > limitGPerH && this.#isSteady(limitGPerH * LIMITS.steadyShare);
    // What is an alarm is not learnt as usual, nor what the sun does.
    if (!this.#present && !sunny) this.#learn();
    return [condition('drying-fast', this.#present, this.#gPerH, limitGPerH), stopped];
  }

  /** The weight was disturbed: the minutes before say nothing any more. */
  interrupt(): void {
    this.#history.clear();
    this.#sun.interrupt();
    this.#stop.interrupt();
    this.#gPerH = Number.NaN;
  }

  /** Drying by more than `gPerH` in each part of the span: a short airing is fast in some of them alone. */
  #isSteady(gPerH: number): boolean {
    const leastG = (gPerH * LIMITS.steadyMin) / 60;
    for (let ago = 0; ago < SPAN_MIN; ago += LIMITS.steadyMin) {
      if (this.#history.ago(ago + LIMITS.steadyMin) - this.#history.ago(ago) <= leastG)
        return false;
    }
    return true;
  }

  #learn(): void {
    this.#learntMin++;
    const nowGPerH = Math.max(0, this.#gPerH);
    this.#usualGPerH = Number.isNaN(this.#usualGPerH)
      ? nowGPerH
      : this.#usualGPerH + (nowGPerH - this.#usualGPerH) * LIMITS.learnShare;
  }
}

/**
 * Sun that comes in on a tray warms it all of a sudden, whether the mat is on or off; or it goes on warming when the mat
 * goes off. It may stay for hours.
 */
class Sun {
  readonly #history = new MinuteHistory(2 * LIMITS.sunMin + 1);
  #matOn = false;
  #agoMin = Number.POSITIVE_INFINITY;

  /** One minute more; returns whether the tray may be in the sun. */
  minute({ rootZoneC, matOn }: Warmth): boolean {
    if (matOn !== this.#matOn) this.#history.clear();
    this.#matOn = matOn;
    this.#history.push(rootZoneC);
    const laterK = rootZoneC - this.#history.ago(LIMITS.sunMin);
    const roseK = rootZoneC - this.#history.ago(2 * LIMITS.sunMin);
    const soonerK = laterK - (roseK - laterK);
    const warms = matOn ? soonerK : Math.max(soonerK, roseK);
    this.#agoMin = warms >= LIMITS.sunSoonerK ? 0 : this.#agoMin + 1;
    return this.#agoMin <= LIMITS.sunMostMin;
  }

  interrupt(): void {
    this.#history.clear();
  }
}

/** A weight that stands still for so long that no lid and no night explains it. */
class Standstill {
  #lastG = Number.NaN;
  /** Since the tray last lost what it should: minutes, what it lost, g, and the usual rate then, g/h. */
  #minutes = 0;
  #lostG = 0;
  #usualGPerH = Number.NaN;

  /** One undisturbed minute more, where `usualGPerH` is usual (NaN while unknown). */
  minute(trayG: number, usualGPerH: number): Finding {
    if (!Number.isNaN(this.#lastG)) {
      this.#lostG += this.#lastG - trayG;
      this.#minutes++;
    }
    this.#lastG = trayG;
    if (this.#minutes <= 1) this.#usualGPerH = usualGPerH;
    const hours = this.#minutes / 60;
    const leastG = Math.max(LIMITS.stoppedG, LIMITS.stoppedShare * this.#usualGPerH * hours);
    if (!(this.#usualGPerH >= LIMITS.stoppedUsualGPerH) || this.#lostG > leastG) {
      this.restart();
      this.#lastG = trayG;
    }
    const stopped = this.#minutes >= LIMITS.stoppedMin;
    return condition('drying-stopped', stopped, this.#lostG / hours, this.#usualGPerH);
  }

  /** A dose or a hand moved the weight: that is no loss. */
  interrupt(): void {
    this.#lastG = Number.NaN;
  }

  restart(): void {
    this.#minutes = 0;
    this.#lostG = 0;
    this.#lastG = Number.NaN;
  }
}
