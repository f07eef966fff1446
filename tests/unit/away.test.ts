/** Whether a tray can be left: the answer that a forecast is made into. */
import { describe, expect, it } from 'vitest';
import { answerOf } from '../../cli/away/answer';
import { coldNight } from '../../cli/away/cold';
import type { Away } from '../../cli/away/model';
import { obstaclesOf } from '../../cli/away/obstacles';
import { pumpShareOf } from '../../cli/away/pump';
import { HANDS_FOR } from '../../cli/away/tasks';
import { awayText } from '../../cli/away/text';
import { dayText, whenText } from '../../cli/away/when';
import { recordOf } from '../../cli/explain/record';
import { type Stand, standOf } from '../../cli/explain/stand';
import { forecastOf } from '../../cli/forecast/forecast';
import { dateEntries } from '../../cli/journal/dating';
import { createStyle } from '../../cli/terminal/output';
import type { Profile } from '../../shared/profile/profile';
import { DAY_S } from '../../shared/units/time';
import { MadeJournal, PROFILE_ID, type Stretch, TRAY } from './made-journal';

/** Wednesday, 4 March 2026, three in the afternoon here. */
const NOW_UNIX_MS = new Date(2026, 2, 4, 15).getTime();
/** Germinates for six days, is fed for ten, then hardened until it is moved on. */
const profile: Profile = {
  ...TRAY,
  stages: [
    ...TRAY.stages.map((stage) =>
      stage.watering === null
        ? stage
        : {
            ...stage,
            end: { afterS: 10 * DAY_S, mark: null },
            watering: { ...stage.watering, maxDayMl: 2_000, maxStageMl: 20_000 },
          },
    ),
    ...TRAY.stages.slice(1).map((stage) => ({
      ...stage,
      name: 'harden',
      lid: 'off-by-day' as const,
      end: { afterS: 0, mark: 'transplanted' as const },
      watering: stage.watering && { ...stage.watering, maxDayMl: 2_000, maxStageMl: 20_000 },
    })),
  ],
};

const standOfMade = (made: MadeJournal): Stand =>
  standOf(
    recordOf(dateEntries(made.entries), {
      byId: new Map([[PROFILE_ID, made.profile]]),
      activeId: null,
    }),
  );

function answer(made: MadeJournal, askedH: number): Away {
  return answerAt(standOfMade(made), askedH, 0);
}

/** `sinceH`: asked so long after the journal ends. */
function answerAt(stand: Stand, askedH: number, sinceH: number): Away {
  const nowMs = stand.record.toMs + sinceH * 3_600_000;
  const found = forecastOf(stand, stand.record.toMs, null);
  if (!found.ok) throw new Error(found.why);
  const obstacles = obstaclesOf(stand, null);
  const asked = { askedH, nowMs, nowUnixMs: NOW_UNIX_MS, units: 'metric' as const };
  return answerOf(stand, found.forecast, obstacles, asked);
}

/** Seen from Wednesday afternoon. */
function textOf(away: Away): string {
  const text = awayText(away, {
    ...{ style: createStyle(false), units: 'metric', by: 'a journal' },
    nowUnixMs: NOW_UNIX_MS,
  });
  return text.replace(/\s+/g, ' ');
}

/** In its feeding stage for so many days, losing 4 g/h. */
function fed(days: number, stretch: Stretch = {}): MadeJournal {
  return new MadeJournal(profile)
    .note({ kind: 'stage', from: 0, to: 1, reason: 'mark', ranS: 0, waterMl: 0 })
    .note({ kind: 'refill', volumeMl: 1_000, feedEc: Number.NaN })
    .goOn(24 * days, { stage: 1, trayG: (h) => 4590 - 4 * h, ...stretch });
}

describe('an answer', () => {
  it('tells the limits in order of time, those of the tray and those of hands', () => {
    const { limits, holdsH } = answer(fed(3), 24);
    expect(limits.map(({ kind }) => kind)).toEqual(['stage', 'reservoir', 'transplant']);
    const [lid, reservoir, transplant] = limits;
    expect(lid?.says).toContain('lid off by day');
    expect(lid?.inH).toBeCloseTo(7 * 24, -1);
    expect(reservoir?.inH).toBe(holdsH);
    expect((transplant?.inH ?? 0) - (lid?.inH ?? 0)).toBeCloseTo(7 * 24, -1);
  });

  it('says now of wool that is drier than its stage bears already', () => {
    const { limits } = answer(fed(3, { trayG: () => 2_400 }), 24);
    expect(limits.find(({ kind }) => kind === 'too-dry')?.inH).toBe(0);
    expect(textOf(answer(fed(3, { trayG: () => 2_400 }), 24))).toContain(
      'Now: the wool is too dry',
    );
  });

  it('takes between the least and the most of what slower and faster drying come to', () => {
    // One that dries faster may have had its doses before the time that is asked of, and take less in it.
    const stand = standOfMade(fed(3));
    for (let sinceH = 0; sinceH <= 240; sinceH += 12) {
      const { low, likely, high } = answerAt(stand, 48, sinceH).dosesMl;
      expect(low).toBeLessThanOrEqual(likely);
      expect(high).toBeGreaterThanOrEqual(likely);
    }
  });

  it('is yes before the first of them, with help past a task, and no past what the tray holds', () => {
    const { holdsH } = answer(fed(3), 24);
    expect(answer(fed(3), 24 * 5).verdict).toBe('yes');
    expect(answer(fed(3), 24 * 8).verdict).toBe('with-help');
    expect(answer(fed(3), holdsH + 1).verdict).toBe('no');
  });

  it('names the one change that buys most: hands where they are wanted first, feed where the tray runs out', () => {
    expect(answer(fed(3), 24 * 5).change?.kind).toBe('stage');
    const short = answer(fed(3), 24 * 25);
    expect(short.change).toMatchObject({ kind: 'fill', says: 'fill the reservoir to 5.00 l' });
    expect(short.change?.holdsH).toBeGreaterThan(short.holdsH);
  });

  it('is not now while the reservoir is not told, or an alarm asks for somebody', () => {
    const untold = new MadeJournal(profile).goOn(24);
    expect(answer(untold, 24).obstacles.map(({ kind }) => kind)).toEqual(['reservoir-unknown']);
    const alarmed = fed(3).alarm('dose-not-seen').goOn(1, { stage: 1, trayG: 4300 });
    expect(answer(alarmed, 24)).toMatchObject({
      verdict: 'not-now',
      change: null,
      obstacles: [{ alarm: 'dose-not-seen', says: expect.stringContaining('water held off') }],
    });
    const seen = fed(3).alarm('too-warm').alarm('too-warm', 'accepted');
    expect(answer(seen, 24).obstacles).toEqual([]);
  });

  it('in germination looks for seedlings by the trials of the crop, and airs daily', () => {
    const made = new MadeJournal(profile)
      .note({ kind: 'refill', volumeMl: 1_000, feedEc: Number.NaN })
      .goOn(24);
    const { limits, daily } = answer(made, 24);
    expect(daily).toHaveLength(1);
    expect(limits[0]?.kind).toBe('emergence');
    // Pepper at 27 C: 8 days (Harrington and Minges 1954), in an early lot three quarters of that.
    expect(limits[0]?.inH).toBeCloseTo((0.75 * 8 - 1) * 24, -1);
  });

  it('counts doses in what is taken, however little the tray dries under its closed lid', () => {
    const [germination, feeding] = profile.stages;
    if (germination === undefined || feeding === undefined) throw new Error('no stages');
    // Feed comes in with the next stage, whatever the dry-back.
    const opened = {
      ...profile,
      stages: [
        { ...germination, end: { afterS: 4 * DAY_S, mark: 'emerged' as const } },
        { ...feeding, opening: { byS: 0, stopShare: 0.02 } },
      ],
    };
    const made = new MadeJournal(opened)
      .note({ kind: 'refill', volumeMl: 1_000, feedEc: Number.NaN })
      .goOn(48, { trayG: (h) => 4590 - 0.1 * h });
    const text = textOf(answer(made, 24 * 6));
    expect(text).toMatch(/Dries less than 5 ml a day Takes \d+ ml a day, \d+ ml in 6 d /);
    expect(textOf(answer(made, 24))).toMatch(/Takes no dose in 1 d /);
  });

  it('begins with a plain yes, no, or who has to come when', () => {
    expect(textOf(answer(fed(3), 24 * 5))).toMatch(
      /^Yes, 5 d: by itself the tray is held until \w{3} \d+ Mar, \w+, with 90 % certainty\. Somebody is wanted on Wed 11 Mar \(the next stage begins\)\. /,
    );
    expect(textOf(answer(fed(3), 24 * 8))).toMatch(
      /^Only if somebody comes on Wed 11 Mar \(the next stage begins\)\. Water and heat go on by themselves for 8 d, with 90 % certainty\. /,
    );
    expect(textOf(answer(fed(3), 24 * 25))).toMatch(
      /^Not for 25 d: by itself the tray is held until \w{3} \d+ Mar, \w+, with 90 % certainty; then the reservoir is empty\. /,
    );
    const up = new MadeJournal(profile)
      .note({ kind: 'refill', volumeMl: 1_000, feedEc: Number.NaN })
      .goOn(24 * 6.2);
    expect(textOf(answer(up, 24))).toMatch(
      /^Only if what is due now is done first \(seed may be up\), and somebody comes today \(the next stage begins\)\. /,
    );
    const alarmed = fed(3).alarm('dose-not-seen').goOn(1, { stage: 1, trayG: 4300 });
    expect(textOf(answer(alarmed, 24))).toMatch(/^Not now: /);
  });

  it('says in its first line what the list below it says', () => {
    const germinating = new MadeJournal(profile)
      .note({ kind: 'refill', volumeMl: 1_000, feedEc: Number.NaN })
      .goOn(24);
    for (const made of [germinating, fed(3)]) {
      for (const { by, kind, says } of answer(made, 24 * 25).limits) {
        if (by === 'hands' && kind !== 'stage') expect(says).toContain(HANDS_FOR[kind]);
      }
    }
  });

  it('gives the date of the limit after the one that somebody takes care of', () => {
    const away = answer(fed(3), 24 * 5);
    expect(away.change?.limitThen).toEqual(away.limits[1]);
    expect(textOf(away)).toMatch(
      /Buys most be there when the next stage begins, or have somebody do it: the next limit then is \w{3} \d+ Mar, \w+: the reservoir is empty /,
    );
  });

  it('tells all times as dates, also of a board whose clock was never set', () => {
    const made = fed(3);
    const unset = new MadeJournal(profile);
    const entries = made.entries.filter(({ kind }) => kind !== 'clock');
    unset.entries.splice(0, unset.entries.length, ...entries);
    const text = textOf(answer(unset, 24 * 25));
    expect(text).toContain('First limit ');
    expect(text).not.toMatch(/(: |\b(in|until) )\d+ d( \d+ h)?:/i);
    expect(text).not.toMatch(/from now/);
  });

  it('fits a screen of 80 columns, whatever is wrong', () => {
    const made = fed(3).alarm('dose-not-seen').goOn(1, { stage: 1, trayG: 4300 });
    for (const away of [answer(fed(3), 24 * 8), answer(made, 24)]) {
      const style = createStyle(false);
      const nowUnixMs = Date.UTC(2026, 2, 5, 12);
      const text = awayText(away, { style, units: 'metric', nowUnixMs, by: 'a journal' });
      expect(text.split('\n').every((line) => line.length <= 80)).toBe(true);
    }
  });
});

describe('a cold night', () => {
  const night = (depthK: number, duty: number) => {
    const made = fed(2, { rootC: 25 });
    const cold = { stage: 1, trayG: 4390, rootC: 24 - depthK, duty };
    return made.goOn(3, cold).goOn(6, { stage: 1, trayG: 4380, rootC: 25 });
  };
  const coldOf = (made: MadeJournal) => {
    const stand = standOfMade(made);
    return coldNight(stand, stand.record.toMs);
  };

  it('ends what the tray holds, where the mat was on all the time and far below the band', () => {
    expect(coldOf(night(2.5, 1))).toMatchObject({ isTooCold: true });
    const { limits, verdict } = answer(night(2.5, 1), 48);
    expect(limits[0]?.kind).toBe('cold');
    expect(limits[0]?.inH).toBeLessThan(24);
    expect(verdict).toBe('no');
  });

  it('is a remark where it was a little short, and nothing where the mat was off', () => {
    expect(coldOf(night(1.3, 1))).toMatchObject({ isTooCold: false });
    expect(answer(night(1.3, 1), 24).remarks.join(' ')).toContain('1.3 K below its band');
    expect(coldOf(night(2.5, 0))).toBeNull();
  });
});

describe('the pump', () => {
  it('is known by what its last doses brought in the time it ran, against its calibration', () => {
    const made = fed(1).note({
      ...{ kind: 'calibration', target: 'pump', restored: false },
      ...{ mlPerS: 1, cvPercent: 1, previousMlPerS: Number.NaN },
    });
    expect(pumpShareOf(standOfMade(made).record)).toBe(1);
    // A minute each.
    for (const gainedG of [60, 48, 47.9, 48, 20]) made.goOn(1, { stage: 1 }).dose(gainedG, 28);
    expect(pumpShareOf(standOfMade(made).record)).toBeCloseTo(0.8, 2);
    expect(answer(made, 24).remarks.join(' ')).toContain('80 % of what was planned');
  });
});

describe('a time ahead', () => {
  const at = (day: number, hour: number): number => new Date(2026, 2, day, hour).getTime();
  /** A Wednesday. */
  const now = at(4, 15);

  it('is told by day and part of the day, the night by the day before it', () => {
    expect(whenText(at(4, 18), now)).toBe('this evening');
    expect(whenText(at(5, 2), now)).toBe('tonight');
    expect(whenText(at(5, 9), now)).toBe('tomorrow morning');
    expect(whenText(at(8, 20), now)).toBe('Sunday evening');
    expect(whenText(at(11, 1), now)).toBe('Tuesday night');
    expect(whenText(at(19, 13), now)).toBe('Thu 19 Mar, afternoon');
  });

  it('is told by the day alone where it is a task', () => {
    expect(dayText(at(4, 23), now)).toBe('today');
    expect(dayText(at(5, 1), now)).toBe('tomorrow');
    expect(dayText(at(10, 12), now)).toBe('Tuesday');
    expect(dayText(at(11, 12), now)).toBe('Wed 11 Mar');
  });
});
