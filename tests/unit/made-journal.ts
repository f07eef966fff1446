/** Journals made up line by line, as a grower would tell a night: for the rules that explain one. */

import { type Story, storyOf } from '../../cli/explain/story';
import { dateEntries } from '../../cli/journal/dating';
import type { AlarmChange, AlarmName } from '../../shared/alarms/catalogue';
import { RESET_CAUSES, type ResetCause } from '../../shared/board/words';
import type { DoseReason, JournalBody, JournalEntry } from '../../shared/journal/kinds';
import type { Profile } from '../../shared/profile/profile';
import { HOUR_MS } from '../../shared/units/time';
import { HOLD, PROFILE, WEIGH } from '../base-profile';

const READING_H = 1 / 12;
/** 1 March 2026, 18:00 UTC. */
export const EVENING_MS = Date.UTC(2026, 2, 1, 18);
export const PROFILE_ID = 7;

/** Germinates at 26 to 28 C under a closed lid, then is fed under a propped one. */
export const TRAY: Profile = {
  ...PROFILE,
  stages: [
    { ...HOLD, band: { lowC: 26, highC: 28 } },
    { ...WEIGH, band: { lowC: 24, highC: 26 } },
  ],
};
const DRY_G = 537;
const CAPACITY_G = 4594;

/** What a stretch of readings is like: numbers, or what they are after so many hours of it. */
type Course = number | ((hours: number) => number);
export interface Stretch {
  readonly rootC?: Course;
  readonly matC?: Course;
  readonly trayG?: Course;
  readonly duty?: number;
  readonly stage?: number;
  readonly spreadG?: number;
}

const USUAL = { rootC: 27, trayG: 4590, duty: 0.4, stage: 0, spreadG: 0.2 };
const at = (course: Course, hours: number): number =>
  typeof course === 'number' ? course : course(hours);

/** A journal under way. Hours are counted from the evening; the clock is set in its first run. */
export class MadeJournal {
  readonly entries: JournalEntry[] = [];
  #sequence = 0;
  #boot = 0;
  #bootFromH = 0;
  #h = 0;

  constructor(readonly profile: Profile = TRAY) {
    this.boot('power-on', 0).clock();
    this.note({ kind: 'capacity', capacityG: CAPACITY_G, dryG: DRY_G, dryWeighed: true });
    this.note({ kind: 'mark', mark: 'sown', stage: 0, trayG: 4590, rootZoneC: 27, pieces: 0 });
  }

  note(body: JournalBody): this {
    const uptimeMs = Math.round((this.#h - this.#bootFromH) * HOUR_MS);
    this.entries.push({ sequence: ++this.#sequence, boot: this.#boot, uptimeMs, ...body });
    return this;
  }

  /** The board starts, so many hours after the evening. */
  boot(cause: ResetCause, atH: number): this {
    this.#boot++;
    this.#bootFromH = atH;
    this.#h = atH;
    const profileId = PROFILE_ID;
    return this.note({
      kind: 'boot',
      cause: RESET_CAUSES.indexOf(cause),
      detail: 0,
      firmware: 100,
      profileId,
      faultRestarts: 0,
    });
  }

  /** The laptop sets the clock; `offH` it was off before this start; `wrongMs` beside the true time. */
  clock(offH = 0, wrongMs = 0): this {
    const unixMs = EVENING_MS + this.#h * HOUR_MS + wrongMs;
    return this.note({ kind: 'clock', unixMs, outageS: offH * 3600 });
  }

  /** Readings every five minutes for so many hours. */
  goOn(hours: number, stretch: Stretch = {}): this {
    const fromH = this.#h;
    const { rootC, trayG, duty, stage, spreadG } = { ...USUAL, ...stretch };
    for (let h = READING_H; h <= hours + 1e-9; h += READING_H) {
      this.#h = fromH + h;
      const nowC = at(rootC, h);
      this.note({
        kind: 'reading',
        rootZoneC: nowC,
        matC: at(stretch.matC ?? nowC + (duty > 0.5 ? 1.7 : -0.2), h),
        trayG: at(trayG, h),
        dryBackShare: (CAPACITY_G - at(trayG, h)) / (CAPACITY_G - DRY_G),
        matDutyShare: duty,
        outputs: duty > 0.5 ? 1 : 0,
        stage,
        spreadG,
      });
    }
    this.#h = fromH + hours;
    return this;
  }

  alarm(
    alarm: AlarmName,
    change: AlarmChange = 'raised',
    value = Number.NaN,
    limit = Number.NaN,
  ): this {
    return this.note({ kind: 'alarm', alarm, change, stage: 0, value, limit, forS: 0 });
  }

  dose(gainedG: number, plannedMl = 60, reason: DoseReason = 'dry-back'): this {
    const verdict = gainedG >= 0.7 * plannedMl ? 'seen' : 'not-seen';
    this.note({
      kind: 'dose',
      reason,
      verdict,
      stage: 1,
      plannedMl,
      ranMs: 60_000,
      beforeG: 4400,
      gainedG,
    });
    return verdict === 'seen' ? this : this.alarm('dose-not-seen', 'raised', gainedG, plannedMl);
  }

  hand(over: boolean, beforeG: number, afterG: number): this {
    return this.note({ kind: 'handling', over, beforeG, afterG });
  }

  get story(): Story {
    return storyOf(dateEntries(this.entries), {
      byId: new Map([[PROFILE_ID, this.profile]]),
      activeId: null,
    });
  }

  /** For each incident its causes: those that fit less well in brackets. */
  get causes(): readonly string[] {
    return this.story.incidents.map(({ causes }) =>
      causes.map(({ cause, fit }) => (fit === 'poor' ? `(${cause})` : cause)).join(' '),
    );
  }
}
