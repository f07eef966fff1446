/** Plans as a grower means them: dates that follow from each other, seeds enough, tasks in their order. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crops } from '../../shared/crops/library/library';
import { TASK_KINDS, type TaskKind } from '../../shared/planning/agenda';
import { dayText, readDay, shortDay, weekday } from '../../shared/planning/calendar-day';
import { wrongOrder } from '../../shared/planning/dates';
import { STEPS } from '../../shared/planning/limits';
import { type BatchPlan, planBatch } from '../../shared/planning/plan';
import { type Happened, NOTHING_YET, type PlanRequest } from '../../shared/planning/request';
import { CROP_FILE_NAMES } from '../../shared/profile/host/crops';
import { shippedProfile } from '../../shared/profile/host/shipped';
import type { LidPlace } from '../../shared/profile/profile';
import { holds } from '../properties';
import { day, planOf, requestFor, TODAY } from './plans';

const task = ({ tasks }: Pick<BatchPlan, 'tasks'>, kind: TaskKind) =>
  tasks.find((one) => one.kind === kind);
const lengthOf = ({ dates }: BatchPlan): number => dates.ready.planned - dates.sow.planned;
const PLANNABLE = crops().filter(({ isTransplanted }) => isTransplanted);
const anyCrop = fc.constantFrom(...PLANNABLE.map(({ name }) => name));

describe('a day of the calendar', () => {
  it('is written as it was read, with the weekday that calendars give it', () => {
    // RFC 5545 section 3.6.2 prints 1 May 2007, a Tuesday; 29 February 2028 is one too.
    expect([day('2007-05-01'), day('2028-02-29')].map(weekday)).toEqual(['Tue', 'Tue']);
    expect(shortDay(day('2027-03-20'))).toBe('20 Mar');
    holds(
      fc.property(
        fc.integer({ min: -30_000, max: 60_000 }),
        (one) => readDay(dayText(one)) === one,
      ),
    );
  });

  it.each(['2027-02-29', '2027-13-01', '2027-3-1', '20270301', '', 'tomorrow', '2027-03-20T08:00'])(
    'is not %s',
    (text) => expect(readDay(text)).toBeNull(),
  );
});

describe('the dates of a plan', () => {
  it('are the same from the day it is ready as from the day it is sown', () => {
    holds(
      fc.property(anyCrop, fc.integer({ min: 150, max: 600 }), (crop, ahead) => {
        const back = planOf({ crop, aim: { by: 'ready', day: TODAY + ahead } });
        const on = planOf({ crop, aim: { by: 'sow', day: back.dates.sow.planned } });
        expect(on.dates.ready.planned).toBe(TODAY + ahead);
        expect(on.dates.emerged).toEqual(back.dates.emerged);
      }),
    );
  });

  it('get no later the warmer the room is, as long as it suits the crop', () => {
    const rooms = [16, 17, 18, 19, 20, 21].map((atC) =>
      lengthOf(planOf({ crop: 'pepper', room: { nightC: atC, dayC: atC } })),
    );
    expect(rooms).toEqual([...rooms].sort((a, b) => b - a));
    expect(rooms[0]).toBeGreaterThan(rooms.at(-1) ?? 0);
  });

  it('go by the mean of night and day', () => {
    // A room that is told as the tables have it changes nothing but by rounding.
    for (const crop of ['pepper', 'tomato', 'onion', 'lettuce']) {
      const { room, ...untold } = planOf({ crop });
      expect(room.by, crop).toBe('tables');
      const told = planOf({ crop, room });
      const apart = untold.dates.sow.planned - told.dates.sow.planned;
      expect(Math.abs(apart), crop).toBeLessThanOrEqual(1);
    }
    const swing = planOf({ crop: 'pepper', room: { nightC: 16, dayC: 22 } });
    const steady = planOf({ crop: 'pepper', room: { nightC: 19, dayC: 19 } });
    expect(swing.slowdown.times).toBeCloseTo(steady.slowdown.times, 6);
  });

  it('put the planned day within what the sources say', () => {
    holds(
      fc.property(anyCrop, (crop) => {
        const { sow, emerged, ready } = planOf({ crop }).dates;
        for (const { earliest, planned, latest } of [sow, emerged, ready]) {
          expect(earliest).toBeLessThanOrEqual(planned);
          expect(planned).toBeLessThanOrEqual(latest);
        }
      }),
    );
  });

  it('that are past are refused, with the day it would have had to be sown on', () => {
    const refused = planBatch(
      ...asked({ aim: { by: 'ready', day: TODAY + 10 } }),
      NOTHING_YET,
      TODAY,
    );
    expect(refused).toMatchObject({ ok: false, trouble: 'date' });
    expect(refused.ok ? '' : refused.why).toMatch(/had to be sown on \d{4}-\d\d-\d\d/);
    for (const [at, trouble] of [
      [-1, 'date'],
      [800, 'far'],
    ] as const) {
      const late = planBatch(...asked({ aim: { by: 'sow', day: TODAY + at } }), NOTHING_YET, TODAY);
      expect(late).toMatchObject({ ok: false, trouble });
    }
  });

  it('are late by no more than the sources differ when it is sown at once', () => {
    const usual = lengthOf(planOf({ crop: 'pepper' }));
    const aim = { by: 'ready', day: TODAY + usual - 5 } as const;
    const { sow, ready } = planOf({ crop: 'pepper', aim }).dates;
    expect(sow.planned).toBe(TODAY);
    expect(ready.planned).toBe(TODAY + usual);
    expect(ready.earliest).toBeLessThanOrEqual(aim.day);
  });
});

const asked = (changes: Partial<PlanRequest>) => requestFor({ crop: 'pepper', ...changes });

describe('what happened', () => {
  const at = (changes: Partial<Happened>): BatchPlan =>
    planOf({ crop: 'pepper' }, { ...NOTHING_YET, ...changes });
  const usual = planOf({ crop: 'pepper' });

  it('moves all that follows: seed that is up four days late is ready four days late', () => {
    const { sow, emerged } = usual.dates;
    const late = at({ sown: sow.planned, emerged: emerged.planned + 4 });
    for (const kind of ['first-feed', 'count', 'feed-change', 'transplant', 'rewater'] as const) {
      expect(task(late, kind)?.day, kind).toBe((task(usual, kind)?.day ?? 0) + 4);
    }
    expect(task(late, 'look')).toBeUndefined();
    expect(task(late, 'emerged')?.giveOrTakeDays).toBe(0);
  });

  it('cannot be in another order than a crop grows, nor still to come', () => {
    expect(wrongOrder({ ...NOTHING_YET, sown: 10, emerged: 9 }, 20)).toContain(
      'before it was sown',
    );
    expect(wrongOrder({ ...NOTHING_YET, sown: 10, transplanted: 10 }, 20)).toContain(
      'when it was sown',
    );
    expect(wrongOrder({ ...NOTHING_YET, emerged: 21 }, 20)).toContain('still to come');
    expect(wrongOrder({ ...NOTHING_YET, sown: 1, emerged: 9, transplanted: 9 }, 20)).toBeNull();
  });

  it('come of no batch that is still to be sown by its plan', () => {
    const [crop, request] = requestFor({ crop: 'lettuce', aim: { by: 'sow', day: TODAY + 5 } });
    const plan = planBatch(crop, request, { ...NOTHING_YET, transplanted: TODAY + 5 }, TODAY);
    expect(plan).toMatchObject({ ok: false, trouble: 'order' });
    const later = planBatch(crop, request, { ...NOTHING_YET, emerged: TODAY + 8 }, TODAY);
    expect(later.ok).toBe(true);
  });

  it('as a count says how many are missing, and what to sow for them', () => {
    const { plants, seeds } = usual.seed;
    const counted = (count: number) =>
      at({ sown: usual.dates.sow.planned, counted: { day: TODAY, plants: count, of: null } }).stand;
    expect(counted(plants)).toMatchObject({ missing: 0, seeds: 0 });
    const short = counted(plants - 10);
    expect(short?.missing).toBe(10);
    expect(short?.seeds).toBeGreaterThan(10);
    // 41 of 80 at 85 % is no chance; the usual stand is as likely as not.
    expect(counted(41)?.luck).toBeLessThan(1e-6);
    expect(counted(Math.round(seeds * 0.85))?.luck).toBeGreaterThan(0.4);
    expect(counted(seeds)?.luck).toBe(1);
    // When half is up, half is up: the stand is told three days later.
    const sown = usual.dates.sow.planned;
    const early = { sown, emerged: TODAY - 2, counted: { day: TODAY, plants: 40, of: null } };
    expect(at(early).stand).toBeNull();
    expect(at({ ...early, emerged: TODAY - 3 }).stand?.counted).toBe(40);
  });
});

describe('the mat of a plan', () => {
  const first = (crop: string, atC: number, mat: string | null = 'mat') => {
    const { rootZone, needs, dates } = planOf({ crop, mat, room: { nightC: atC, dayC: atC } });
    return { ...rootZone, matDays: needs.matDays, up: dates.emerged.planned };
  };

  it('that is not needed warms nothing: the days are those of the room, as without one', () => {
    for (const [crop, atC] of [
      ['pepper', 24],
      ['onion', 20],
      ['cabbage', 20],
    ] as const) {
      const it = first(crop, atC);
      expect(it, crop).toMatchObject({ isWarmed: false, matDays: 0, nightC: atC });
      expect(it.up, crop).toBe(first(crop, atC, null).up);
    }
  });

  it('holds the band of the crop in a cooler room, on all days from sowing on', () => {
    const it = first('pepper', 20);
    expect(it).toMatchObject({ isWarmed: true, nightC: 26 });
    expect(it.matDays).toBeGreaterThan(30);
    expect(it.up).toBeLessThan(first('pepper', 20, null).up);
  });
});

describe('the tasks of a plan', () => {
  it('end with the transplant, the first feed too, but for the water after it', () => {
    for (const { name } of PLANNABLE) {
      const { tasks, dates } = planOf({ crop: name });
      for (const { kind, day, until } of tasks) {
        const isAfter = kind === 'transplant' || kind === 'rewater' || kind === 'look';
        if (!isAfter)
          expect(Math.max(day, until), `${name}: ${kind}`).toBeLessThan(dates.ready.planned);
      }
    }
  });

  it('stand in the order of days, each once, for every crop that is transplanted', () => {
    for (const { name } of PLANNABLE) {
      const { tasks, dates } = planOf({ crop: name });
      const days = tasks.map((one) => one.day);
      expect(days, name).toEqual([...days].sort((a, b) => a - b));
      const kinds = tasks.map(({ kind }) => kind);
      expect(new Set(kinds).size, name).toBe(kinds.length);
      for (const kind of [
        'clean',
        'calibrate',
        'soak',
        'sow',
        'emerged',
        'transplant',
        'rewater',
      ] as const) {
        expect(kinds, name).toContain(kind);
      }
      expect(task({ tasks }, 'rewater')?.day, name).toBe(dates.ready.planned + 3);
    }
    expect(TASK_KINDS.length).toBe(new Set(TASK_KINDS).size);
  });

  it('feed within a week of emergence, and never before the seed is up', () => {
    holds(
      fc.property(anyCrop, (crop) => {
        const plan = planOf({ crop });
        const feed = task(plan, 'first-feed');
        // What is ready sooner is fed where it goes.
        if (feed === undefined) return;
        const up = plan.dates.emerged.planned;
        expect(feed.day).toBeGreaterThan(up);
        expect(feed.until - up).toBeLessThanOrEqual(STEPS.feedAfterEmergenceMost);
      }),
    );
  });

  it('of a batch that is sown today are cleaned and soaked today, not yesterday', () => {
    const plan = planOf({ crop: 'pepper', aim: { by: 'sow', day: TODAY } });
    expect(Math.min(...plan.tasks.map((one) => one.day))).toBe(TODAY);
  });

  it('open the lid on the days of the profile that comes for the crop', () => {
    for (const name of CROP_FILE_NAMES) {
      const plan = planOf({ crop: name });
      const stages = shippedProfile(name)?.stages ?? [];
      const after = stages.slice(stages.findIndex(({ end }) => end.mark === 'emerged') + 1);
      const day = (lid: LidPlace): number =>
        after
          .slice(
            0,
            after.findIndex((stage) => stage.lid === lid),
          )
          .reduce((sum, { end }) => sum + end.afterS / 86_400, plan.dates.emerged.planned);
      expect(task(plan, 'prop-lid')?.day, name).toBe(day('propped'));
      expect(task(plan, 'lid-by-day')?.day, name).toBe(day('off-by-day'));
    }
  });

  it('leave no crop under a propped lid for more than two weeks where no profile says so', () => {
    for (const { name } of PLANNABLE) {
      if (shippedProfile(name) !== null) continue;
      const plan = planOf({ crop: name });
      const off = task(plan, 'lid-by-day')?.day ?? plan.dates.ready.planned;
      expect(off - plan.dates.emerged.planned, name).toBeLessThanOrEqual(14);
    }
  });

  it('open the lid step by step', () => {
    for (const { name } of PLANNABLE) {
      const plan = planOf({ crop: name });
      const steps = (['emerged', 'prop-lid', 'lid-by-day'] as const).flatMap(
        (kind) => task(plan, kind)?.day ?? [],
      );
      expect(steps, name).toEqual([...steps].sort((a, b) => a - b));
    }
  });
});
