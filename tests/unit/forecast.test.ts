/** What a tray is said to become when nobody comes to it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { recordOf } from '../../cli/explain/record';
import { standOf } from '../../cli/explain/stand';
import { type Forecast, type Forecasting, forecastOf } from '../../cli/forecast/forecast';
import { lossesOf } from '../../cli/forecast/losses';
import { sdLnOver, uptakeOf } from '../../cli/forecast/uptake';
import { type Place, walk } from '../../cli/forecast/walk';
import { dateEntries } from '../../cli/journal/dating';
import type { Profile } from '../../shared/profile/profile';
import { DAY_MS } from '../../shared/units/time';
import { holds } from '../properties';
import { MadeJournal, PROFILE_ID, TRAY } from './made-journal';

const FLAT = Array.from({ length: 24 }, () => 1);

function standOfMade(made: MadeJournal) {
  return standOf(
    recordOf(dateEntries(made.entries), {
      byId: new Map([[PROFILE_ID, made.profile]]),
      activeId: null,
    }),
  );
}

function forecasting(made: MadeJournal): Forecasting {
  const stand = standOfMade(made);
  return forecastOf(stand, stand.record.toMs, null);
}

function forecast(made: MadeJournal): Forecast {
  const found = forecasting(made);
  if (!found.ok) throw new Error(found.why);
  return found.forecast;
}

/** In its feeding stage, losing so much an hour, with so much in the reservoir. */
const fed = (gPerH: number, days: number, reservoirMl = 2_000): MadeJournal =>
  new MadeJournal()
    .note({ kind: 'stage', from: 0, to: 1, reason: 'mark', ranS: 0, waterMl: 0 })
    .note({ kind: 'refill', volumeMl: reservoirMl, feedEc: Number.NaN })
    .goOn(24 * days, { stage: 1, trayG: (h) => 4590 - gPerH * h });

const dryingAt = (gPerDay: number, days = 3) =>
  uptakeOf(
    {
      days: Array.from({ length: days }, (_, i) => ({ ageDays: i + 0.5, gPerDay, hours: 24 })),
      sinceMs: 0,
      byHour: FLAT,
    },
    { gPerDay: 50, sdLn: 2 },
    0,
  );

/** Its caps are for bad days; a test of them lowers them. */
const FREE: Profile = {
  ...TRAY,
  stages: TRAY.stages.map((stage) => ({
    ...stage,
    watering: stage.watering && { ...stage.watering, maxDayMl: 2_000, maxStageMl: 20_000 },
  })),
};

const place = (changes: Partial<Place> = {}): Place => ({
  profile: FREE,
  stage: { index: 1, runMs: DAY_MS, staying: false },
  ...{ opened: true, rescued: false, dryBackShare: 0.02, capacityG: 4594, dryG: 537 },
  ...{ lately: [], stageMl: 0, reservoirMl: 1_000, usedMl: 0, feedEc: Number.NaN },
  ...{ filledAgoMs: DAY_MS, minuteOfDay: null, hourOfDay: 0 },
  ...changes,
});

describe('what a tray loses', () => {
  it('is what its weight has told, and the surer the longer it has', () => {
    const { gPerDay } = forecast(fed(4, 3));
    expect(gPerDay.likely).toBeGreaterThan(96 * 0.95);
    expect(gPerDay.likely).toBeLessThan(96 * 1.1);
    expect(gPerDay.low).toBeLessThan(96);
    expect(gPerDay.high).toBeGreaterThan(96);
    expect(sdLnOver(dryingAt(100, 1), 2)).toBeGreaterThan(sdLnOver(dryingAt(100, 5), 2));
    expect(sdLnOver(dryingAt(100), 9)).toBeGreaterThan(sdLnOver(dryingAt(100), 3));
  });

  it('counts from when the lid was moved, which the weight tells', () => {
    const made = fed(2, 3);
    const laterG = 4590 - 2 * 72;
    made.goOn(10, { stage: 1, trayG: (h) => laterG - 8 * h });
    const { days, sinceMs } = lossesOf(standOfMade(made), standOfMade(made).record.toMs);
    const sinceH = (standOfMade(made).record.toMs - sinceMs) / 3_600_000;
    expect(sinceH).toBeGreaterThan(8);
    expect(sinceH).toBeLessThan(12);
    expect(days[0]?.gPerDay).toBeGreaterThan(8 * 24 * 0.9);
  });

  it('is in doubt while hands were there since the stage asks for another lid', () => {
    // Under a closed lid; then the stage that wants it propped begins.
    const before = new MadeJournal().goOn(48, { trayG: (h) => 4590 - 0.3 * h });
    before.note({ kind: 'stage', from: 0, to: 1, reason: 'run-time', ranS: 0, waterMl: 0 });
    before.goOn(1, { stage: 1, trayG: 4575 });
    expect(forecast(before).uptake.doubtLn).toBe(0);
    const after = before.hand(true, 4575, 4575).goOn(1, { stage: 1, trayG: 4575 });
    const lids = [TRAY.stages[0]?.lid, TRAY.stages[1]?.lid];
    expect(new Set(lids).size).toBe(2);
    expect(forecast(after).uptake.doubtLn).toBeGreaterThan(0.5);
    // Whoever marks the lid tells what the hands were there for.
    after.note({ kind: 'note', text: 'lid closed', more: 0 });
    expect(forecast(after).uptake.doubtLn).toBe(0);
  });

  it('is thought by where the lid was marked, else by where the stage wants it, while the weight has told nothing', () => {
    // Its stage wants the lid closed.
    const young = (text: string | null): number => {
      const made = new MadeJournal().goOn(1);
      if (text !== null) made.note({ kind: 'note', text, more: 0 });
      return forecast(made).gPerDay.likely;
    };
    expect(young('lid off')).toBeGreaterThan(50 * young(null));
    expect(young('lid closed')).toBe(young(null));
    expect(young('lid has a crack')).toBe(young(null));
    // A reading later it holds still.
    const later = new MadeJournal().goOn(0.5).note({ kind: 'note', text: 'lid off', more: 0 });
    expect(forecast(later.goOn(0.5)).gPerDay.likely).toBeGreaterThan(50 * young(null));
  });

  it('is that of a lid left off while the controller finds it to dry too fast, and counts from then', () => {
    const left = () => new MadeJournal().goOn(12, { trayG: (h) => 4590 - 0.3 * h });
    const made = left()
      .alarm('drying-fast')
      .goOn(0.5, { trayG: (h) => 4586 - 18 * h });
    expect(forecast(made).gPerDay.likely).toBeGreaterThan(
      20 * forecast(left().goOn(0.5, { trayG: 4586 })).gPerDay.likely,
    );
    made.alarm('drying-fast', 'returned').goOn(4, { trayG: 4577 });
    const { days } = lossesOf(standOfMade(made), standOfMade(made).record.toMs);
    expect(days[0]?.gPerDay).toBeLessThan(24);
  });

  it('counts from when the lid was marked elsewhere, before the weight can tell', () => {
    const made = fed(2, 3).note({ kind: 'note', text: 'lid propped', more: 0 });
    made.goOn(2, { stage: 1, trayG: 4590 - 144 });
    const sinceH = (one: MadeJournal): number => {
      const stand = standOfMade(one);
      return (stand.record.toMs - lossesOf(stand, stand.record.toMs).sinceMs) / 3_600_000;
    };
    // That is where it was.
    expect(sinceH(made)).toBeGreaterThan(70);
    made.note({ kind: 'note', text: 'lid off', more: 0 }).goOn(1, { stage: 1, trayG: 4445 });
    expect(sinceH(made)).toBeCloseTo(1, 1);
  });
});

describe('the days ahead', () => {
  it('empty the reservoir when what it holds has dried away, by the doses of the stage', () => {
    const { ends, doses } = walk(place(), dryingAt(200), 0);
    expect(ends.map(({ kind }) => kind)).toContain('reservoir');
    const givenMl = doses.reduce((sum, { ml }) => sum + ml, 0);
    expect(givenMl).toBeLessThanOrEqual(1_000);
    const days = (ends.find(({ kind }) => kind === 'reservoir')?.inMs ?? 0) / DAY_MS;
    // A litre at 0.2 kg a day and the 0.04 that plants keep, and the wool's own water before and after.
    expect(days).toBeGreaterThan(3.5);
    expect(days).toBeLessThan(8);
  });

  it('end sooner with more certainty, with less in the reservoir and on a tray that dries faster', () => {
    const emptyMs = (left: number, gPerDay: number, z: number): number =>
      walk(place({ reservoirMl: left }), dryingAt(gPerDay), z).ends.find(
        ({ kind }) => kind === 'reservoir',
      )?.inMs ?? Number.POSITIVE_INFINITY;
    const anyLeft = fc.integer({ min: 100, max: 4_000 });
    const anyPace = fc.integer({ min: 20, max: 400 });
    holds(
      fc.property(anyLeft, anyPace, (left, gPerDay) => {
        const middle = emptyMs(left, gPerDay, 0);
        expect(emptyMs(left, gPerDay, 1.28)).toBeLessThanOrEqual(middle);
        expect(emptyMs(left / 2, gPerDay, 0)).toBeLessThanOrEqual(middle);
        expect(emptyMs(left, gPerDay * 1.5, 0)).toBeLessThanOrEqual(middle);
      }),
      { numRuns: 30 },
    );
  });

  it('are ended by a cap as well, of the stage or of a day', () => {
    const first = (gPerDay: number): string | undefined =>
      walk(place({ profile: TRAY, reservoirMl: null }), dryingAt(gPerDay), 0).ends[0]?.kind;
    // 1 l in this stage, and 400 ml in a day.
    expect(first(150)).toBe('stage-cap');
    expect(first(700)).toBe('day-cap');
  });

  it('of a hold give no water, and say when the wool is too dry for it', () => {
    const hold = place({ stage: { index: 0, runMs: 0, staying: true } });
    const { doses, ends } = walk(hold, dryingAt(800), 0);
    const [stage] = TRAY.stages;
    expect(doses.filter(({ inMs }) => inMs < (ends[0]?.inMs ?? 0))).toEqual([]);
    expect(ends[0]?.kind).toBe('too-dry');
    const share = (stage?.rescue.share ?? 0) - 0.02;
    expect((ends[0]?.inMs ?? 0) / DAY_MS).toBeCloseTo((share * 4057) / (800 * 1.04), 0);
  });

  it('wait for the feed that the stage wants for a day, and no longer', () => {
    const wants = { ...FREE, stages: FREE.stages.map((one) => ({ ...one, feedEc: 1 })) };
    const other = (feedEc: number) =>
      walk(place({ profile: wants, feedEc, filledAgoMs: 0, dryBackShare: 0.2 }), dryingAt(100), 0)
        .doses[0]?.inMs ?? 0;
    expect(other(1)).toBeLessThan(0.1 * DAY_MS);
    expect(other(2)).toBeGreaterThanOrEqual(DAY_MS);
    expect(other(2)).toBeLessThan(1.1 * DAY_MS);
  });
});

describe('a tray that cannot be forecast', () => {
  it('is told with the reason', () => {
    const bare = new MadeJournal().goOn(2);
    const unsown = new MadeJournal().goOn(2, { stage: 255 });
    expect(forecasting(bare).ok).toBe(true);
    expect(forecasting(unsown)).toEqual({ ok: false, why: 'not-sown' });
    expect(forecasting(new MadeJournal().goOn(2, { trayG: Number.NaN }))).toEqual({
      ok: false,
      why: 'weight-unknown',
    });
    expect(forecasting(new MadeJournal())).toEqual({ ok: false, why: 'no-readings' });
  });
});
