/** What a report says of a journal in its plots and its tables, and of which time. */
import { describe, expect, it } from 'vitest';
import { reportOf } from '../../cli/report/of-journal';
import type { JournalEntry } from '../../shared/journal/kinds';
import { HOUR_MS } from '../../shared/units/time';
import { EVENING_MS, MadeJournal } from './made-journal';
import { calm, reported, says, tableOf, WANTED } from './reported';

describe('the time that is told', () => {
  it('begins with the crop, and is cut to what was asked', () => {
    const all = reported(calm());
    expect(all.plot).toMatchObject({ fromUnixMs: EVENING_MS, lengthMin: 720 });
    const part = reported(calm(), {
      sinceMs: EVENING_MS + HOUR_MS,
      untilMs: EVENING_MS + 3 * HOUR_MS,
    });
    expect(part.plot).toMatchObject({ fromUnixMs: EVENING_MS + HOUR_MS, lengthMin: 120 });
    expect(part.period).toBe('1 Mar 19:00 to 1 Mar 21:00 (2026), 2 h');
  });

  it('is that of the tray’s own zone', () => {
    expect(reported(calm(), { offsetMin: 330 }).period).toMatch(/^1 Mar 23:30 to 2 Mar 11:30/);
    expect(reported(calm(), { offsetMin: 330 }).made).toContain('UTC+5:30');
  });

  it('counts days where no clock was ever set', () => {
    const made = calm();
    const undated: JournalEntry[] = made.entries.filter(({ kind }) => kind !== 'clock');
    made.entries.splice(0, made.entries.length, ...undated);
    const { plot, period } = reported(made);
    expect(plot.fromUnixMs).toBeNull();
    expect(period).toMatch(/^day 1 00:00 to day 1 12:00, 12 h$/);
  });

  it('has no report where it holds no entry', () => {
    const lives = [{ life: 1, entries: calm().entries, damaged: 0 }];
    const profiles = { byId: new Map(), activeId: null };
    const later = { ...WANTED, sinceMs: EVENING_MS + 100 * HOUR_MS };
    expect(reportOf(lives, profiles, later)).toBeNull();
    expect(reportOf([], profiles, WANTED)).toBeNull();
  });
});

describe('the plot', () => {
  it('has the lid where the grower marked it, until a stage wants it elsewhere', () => {
    const made = calm();
    made.note({ kind: 'note', more: 0, text: 'lid vents open' });
    made.goOn(6);
    // No mark of the lid, but the end of a longer note.
    made.note({ kind: 'note', more: 1, text: 'moved it, the old' });
    made.note({ kind: 'note', more: 0, text: 'lid off' });
    const { lids } = reported(made.goOn(6).goOn(6, { stage: 1, rootC: 25 })).plot;
    expect(lids.map(({ label, from }) => [label, Math.round(from / 60)])).toEqual([
      ['closed', 0],
      ['vents open, marked', 12],
      ['propped', 24],
    ]);
  });

  it('has the band and the lid of each stage, for as long as it ran', () => {
    const { bands, stages, lids } = reported(calm().goOn(6, { stage: 1, rootC: 25 })).plot;
    expect(bands).toMatchObject([
      { from: 5, to: 725, low: 26, high: 28, night: false },
      { from: 725, to: 1080, low: 24, high: 26 },
    ]);
    expect(stages.map(({ label }) => label)).toEqual(['1 germinate', '2 first feed']);
    expect(lids.map(({ label }) => label)).toEqual(['closed', 'propped']);
  });

  it('breaks its lines where the power was out, and says so', () => {
    const made = calm().boot('power-on', 18).clock(6).goOn(2);
    const { rows, blanks } = reported(made).plot;
    expect(blanks).toMatchObject([{ label: 'Power off', from: 720, to: 1080 }]);
    const gap = rows.minutes.filter((minute, i) => minute < 1080 && rows.weight[i] === null);
    expect(gap).toHaveLength(1);
  });

  it('tells dry-back as the scale alone reads it beside that of the controller', () => {
    const { rows } = reported(calm()).plot;
    // (4594 - 4587.6) g of 4057 g.
    expect(rows.rawDryBack.at(-1)).toBeCloseTo(0.16, 2);
    expect(rows.dryBack.at(-1)).toBeCloseTo(0.16, 2);
  });

  it('leads from its marks to what explains them', () => {
    const made = calm().alarm('probe-open', 'raised', 4092, 4000).goOn(1, { duty: 0 });
    const report = reported(made);
    expect(report.plot.alarms).toMatchObject([{ id: 'alarm-probe-open', grave: true, from: 720 }]);
    expect(report.plot.incidents[0]).toMatchObject({ id: 'incident-1', number: 1 });
    expect(report.alarms).toMatchObject([{ alarm: 'probe-open', standing: true }]);
  });

  it('is in the reader’s units', () => {
    const { rows, temperatureUnit, massUnit } = reported(calm(), { units: 'us' }).plot;
    expect(rows.rootZone.at(-1)).toBeCloseTo(80.6, 5);
    expect(rows.weight[0]).toBeCloseTo(10.119, 3);
    expect([temperatureUnit, massUnit]).toEqual(['°F', 'lb']);
  });
});

describe('the tables', () => {
  it('count what each plant got by what the scale saw, and its salts by the marked feed', () => {
    const made = calm().note({ kind: 'refill', volumeMl: 4_000, feedEc: 1 });
    made.goOn(1, { stage: 1 }).dose(59).goOn(1, { stage: 1 });
    const [day] = tableOf(reported(made), 'Water')?.rows.slice(-1) ?? [];
    // 59 g are 59.1 ml, for 98 plugs; 640 mg/l of salts for each mS/cm.
    expect(day?.slice(3, 7)).toEqual(['1', '59.1 ml', '0.6 ml', '0.4 mg']);
  });

  it('tell the energy only where the power of the mat was told', () => {
    const plain = tableOf(reported(calm()), 'Energy');
    expect(plain?.columns.map(({ title }) => title)).toEqual(['Time', 'Mat on', 'Share']);
    const told = tableOf(reported(calm(), { matW: 50, tariff: 0.3 }), 'Energy');
    // 12 h at 40 %, 50 W; the first reading tells of no time before it.
    expect(told?.rows.at(-1)).toEqual([
      'All of this time',
      '4 h 46 min',
      '40 %',
      '0.24 kWh',
      '0.07',
    ]);
  });

  it('count no energy for a time in which nobody knows what the mat did', () => {
    const made = new MadeJournal().goOn(2, { duty: 1 }).boot('power-on', 8).clock(6);
    const [, matOn] = tableOf(reported(made.goOn(2, { duty: 1 })), 'Energy')?.rows.at(-1) ?? [];
    // Two times two hours, each without the five minutes before its first reading.
    expect(matOn).toBe('3 h 50 min');
  });

  it('name the stages with their lids, and what the grower told', () => {
    const report = reported(calm());
    expect(tableOf(report, 'Stages')?.rows[0]?.slice(0, 4)).toEqual([
      ...['1 germinate', '1 Mar 18:05', '11 h 55 min', 'closed'],
    ]);
    expect(tableOf(report, 'What the grower told')?.rows).toEqual([
      ['1 Mar 18:00', 'Marked sown at 4590 g.'],
    ]);
  });

  it('have what was counted, with its curve, and what was noted, in one piece', () => {
    const made = calm().goOn(48);
    made.note({ kind: 'count', stage: 0, standing: 49, of: 98 });
    made.note({ kind: 'note', more: 1, text: 'leaned, lamp low' });
    made.note({ kind: 'note', more: 0, text: 'ered' });
    const report = reported(made.goOn(1));
    expect(tableOf(report, 'What came up')?.rows).toEqual([
      ['4 Mar 06:00', '2.5', '49 of 98', '50 %'],
    ]);
    expect(tableOf(report, 'What came up')?.curve).toEqual([
      { day: 2.5, share: 0.5, label: 'Day 2.5: 49 of 98' },
    ]);
    expect(tableOf(report, 'Stages')?.curve).toBe(undefined);
    const told = tableOf(report, 'What the grower told')?.rows.map(([, what]) => what);
    expect(told?.slice(1)).toEqual(['Counted: 49 of 98 stand.', 'Note: "leaned, lamp lowered".']);
  });

  it('tell a share of the seed as `seed count` does: 41 of 98 are 42 %', () => {
    const made = calm();
    made.note({ kind: 'count', stage: 0, standing: 41, of: 98 });
    expect(tableOf(reported(made.goOn(1)), 'What came up')?.rows[0]?.[3]).toBe('42 %');
  });

  it('leave out what is not known: without its profile a stage has a number alone', () => {
    const made = calm();
    const report = reportOf(
      [{ life: 1, entries: made.entries, damaged: 0 }],
      { byId: new Map(), activeId: null },
      WANTED,
    );
    expect(report?.plot.bands).toEqual([]);
    expect(report?.title).toBe('Tray of controller e66100000000000b');
    expect(says((report?.unknown ?? []).map((one) => ({ says: one })))).toContain('not kept here');
    expect(report?.tables[0]?.rows[0]?.[0]).toBe('1');
  });
});
