/** When a tray is watered next, as `status` and `away` tell it; and what it waits for. */
import { describe, expect, it } from 'vitest';
import { doseFact } from '../../cli/away/due';
import type { Moment } from '../../cli/away/model';
import { nextDoseOf } from '../../cli/away/next-dose';
import { obstaclesNow } from '../../cli/away/obstacles';
import { recordOf } from '../../cli/explain/record';
import { standOf } from '../../cli/explain/stand';
import { type Forecast, forecastOf } from '../../cli/forecast/forecast';
import { dateEntries } from '../../cli/journal/dating';
import { ALARM_NAMES, ALARMS } from '../../shared/alarms/catalogue';
import { HELD_REASONS } from '../../shared/link/held';
import type { Status } from '../../shared/link/status';
import type { Profile } from '../../shared/profile/profile';
import { DAY_S, HOUR_MS } from '../../shared/units/time';
import { Grower } from '../simulation/grower';
import { MadeJournal, PROFILE_ID, TRAY } from './made-journal';

/** Wednesday, 4 March 2026, three in the afternoon here. */
const NOW = new Date(2026, 2, 4, 15).getTime();

const [HOLD, FED] = TRAY.stages;
if (HOLD === undefined || FED === undefined) throw new Error('a profile without stages');

/** Germinates until somebody says that seed is up, or for so many days; then opens with feed at once. */
const germinating = (afterDays: number, rescueMl: number): Profile => ({
  ...TRAY,
  stages: [
    {
      ...HOLD,
      end: { afterS: afterDays * DAY_S, mark: 'emerged' },
      rescue: { share: 0.4, doseMl: rescueMl },
    },
    { ...FED, opening: { byS: 0, stopShare: 0.02 } },
  ],
});

function forecastIn(made: MadeJournal): Forecast {
  const known = { byId: new Map([[PROFILE_ID, made.profile]]), activeId: null };
  const stand = standOf(recordOf(dateEntries(made.entries), known));
  const found = forecastOf(stand, stand.record.toMs, null);
  if (!found.ok) throw new Error(found.why);
  return found.forecast;
}

const momentIn = (inMs: number): Moment => ({
  inH: Math.max(0, inMs) / HOUR_MS,
  unixMs: NOW + Math.max(0, inMs),
});
const doseOf = (made: MadeJournal) => nextDoseOf(forecastIn(made), [], 0, momentIn);
const lineOf = (made: MadeJournal): string => {
  const { value, note } = doseFact(doseOf(made), { nowUnixMs: NOW, units: 'metric' });
  return `${value}; ${note}`;
};

/** In its feeding stage for so many hours, losing so much. */
const fed = (gPerH: number, hours: number): MadeJournal =>
  new MadeJournal()
    .note({ kind: 'stage', from: 0, to: 1, reason: 'mark', ranS: 0, waterMl: 0 })
    .note({ kind: 'refill', volumeMl: 2_000, feedEc: Number.NaN })
    .dose(60)
    .goOn(hours, { stage: 1, trayG: (h) => 4590 - gPerH * h });
/** In germination for so many hours. */
const held = (profile: Profile, gPerH: number, hours = 48): MadeJournal =>
  new MadeJournal(profile).goOn(hours, { trayG: (h) => 4590 - gPerH * h });

describe('the next dose', () => {
  it('is told between two times, the wider apart the less was seen of the drying', () => {
    const widthH = (hours: number): number => {
      const dose = doseOf(fed(2, hours));
      if (dose.kind !== 'expected' || dose.latest === null) throw new Error(dose.kind);
      expect(dose.soonest.inH).toBeLessThanOrEqual(dose.inH);
      expect(dose.latest.inH).toBeGreaterThanOrEqual(dose.inH);
      return (dose.latest.inH - dose.soonest.inH) / dose.inH;
    };
    expect(widthH(5)).toBeGreaterThan(widthH(72));
    expect(lineOf(fed(2, 24))).toMatch(
      /^Between Tuesday night and Thu 12 Mar, night; about \d+ ml, nine times of ten in that time$/,
    );
  });

  it('may be a rescue dose where the wool dries out before the stage opens with feed', () => {
    // 0.4 of 4057 g at 20 g/h: three days and a half, of which two have gone.
    const dose = doseOf(held(germinating(9, 120), 20));
    expect(dose).toMatchObject({ kind: 'expected', need: 'rescue', ml: 120 });
    if (dose.kind !== 'expected') return;
    expect(dose.soonest.inH).toBeGreaterThan(18);
    expect(dose.latest?.inH).toBeLessThan(60);
  });

  it('of a stage that ends by time or a mark comes at that time, and sooner by the mark', () => {
    expect(doseOf(held(germinating(4, 0), 0.1))).toMatchObject({ need: 'opening' });
    expect(lineOf(held(germinating(4, 0), 0.1))).toMatch(
      /^Friday \w+; about \d+ ml, .*; `trayward mark emerged` may bring it sooner$/,
    );
  });
});

describe('no dose is promised', () => {
  it('in a stage that only a mark ends: none before seed is up, but to rescue the wool', () => {
    expect(lineOf(held(germinating(0, 0), 0.1))).toBe(
      'None until seed is up; then `trayward mark emerged`',
    );
    expect(lineOf(held(germinating(0, 120), 20))).toMatch(
      /^None until seed is up; then `trayward mark emerged`; a rescue dose of about 120 ml if the wool gets too dry first: between /,
    );
  });

  it('while the reservoir is empty', () => {
    const made = fed(2, 72).note({ kind: 'refill', volumeMl: 0, feedEc: Number.NaN });
    expect(lineOf(made)).toBe('None until the reservoir is filled; then `trayward mark refilled`');
  });

  it('while an alarm holds water off, or anything else that does not pass by itself', () => {
    const grower = new Grower();
    grower.commission();
    const status = grower.status();
    const forecast = forecastIn(fed(2, 24));
    const kindAt = (now: Status): string =>
      nextDoseOf(forecast, obstaclesNow(now), 0, momentIn).kind;
    const passing = ['not-sown', 'probe', 'hold', 'pump-hour', 'transplant-hold', 'handling'];
    const letThrough = [...passing, 'quiet-hours', 'feed-change', 'mat-rests'];
    for (const heldBy of HELD_REASONS) {
      const now = { ...status, water: { ...status.water, heldBy } };
      expect([heldBy, kindAt(now)]).toEqual([
        heldBy,
        letThrough.includes(heldBy) ? 'expected' : 'held',
      ]);
    }
    for (const alarm of ALARM_NAMES) {
      const report = { alarm, state: 'accepted', shelvedS: 0, ageS: 60, endedS: null } as const;
      const alarms = [{ ...report, atLeast: false, value: null, limit: null }];
      const kind = ALARMS[alarm].dropsPump ? 'held' : 'expected';
      expect([alarm, kindAt({ ...status, alarms })]).toEqual([alarm, kind]);
    }
  });
});
